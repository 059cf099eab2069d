#!/bin/sh
# For any CI system that runs a shell: judge a folder of jobs, leave reports for it to show, end with the worst exit code.
#
#   check-jobs.sh JOBS OUTPUT [more options of 'changeout check', such as --workers 4 or --rules FOLDER]
#
# OUTPUT gets jobs.junit.xml (tests), jobs.sarif (places in the files), comment.md (for a pull request) and totals.json.
# Where baseline.jsonl lies beside JOBS, only what is new fails. Make it once, and look at it:
#   changeout check JOBS --write-baseline baseline.jsonl
set -u
jobs=$1 output=$2
shift 2
mkdir -p "$output"
baseline=$(dirname "$jobs")/baseline.jsonl
[ -f "$baseline" ] && set -- "$@" --baseline "$baseline"
worst=0
report() {
  changeout check "$jobs" "$@"
  code=$?
  if [ "$code" -gt "$worst" ]; then worst=$code; fi
}
report --format sarif --output "$output/jobs.sarif" "$@"
report --format markdown --output "$output/comment.md" "$@"
report --format junit --output "$output/jobs.junit.xml" --summary "$output/totals.json" "$@"
exit "$worst"
