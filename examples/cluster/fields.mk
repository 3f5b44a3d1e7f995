job = ../multi-field/job.yaml

all: $(patsubst %.figures,%.stream,$(wildcard out/fields/*.figures))

out/fields/%.stream: out/fields/%.figures
	patternc fill $< --job $(job) --binary | patternc scale --job $(job) --binary | patternc emit --job $(job) -o $@
