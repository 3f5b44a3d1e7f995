#!/bin/bash
#SBATCH --job-name=series
#SBATCH --array=1-4
#SBATCH --output=out/series-%a.log
set -eu
patternc batch series.yaml --shard "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT" --records "out/records/$SLURM_ARRAY_TASK_ID"
