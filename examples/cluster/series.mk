parts = 1 2 3 4

all: $(parts:%=part-%)

part-%:
	patternc --quiet batch series.yaml --shard $*/4 --records out/records/$*
