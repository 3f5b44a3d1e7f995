#!/bin/bash
#SBATCH --job-name=fields
#SBATCH --output=out/fields-%a.log
set -eu
for figures in out/fields/*.figures; do
    number=$(( ${number:-0} + 1 ))
    if (( number % SLURM_ARRAY_TASK_COUNT == SLURM_ARRAY_TASK_ID % SLURM_ARRAY_TASK_COUNT )); then
        make -s -f fields.mk "${figures%.figures}.stream"
    fi
done
