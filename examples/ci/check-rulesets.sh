#!/bin/sh
# For any CI system that runs a shell: lint a folder of rulesets, run its cases, say what changed, end with the worst exit code.
#
#   check-rulesets.sh FOLDER OUTPUT [BASE] [more options, such as --rules FOLDER]
#
# BASE is the folder as it was before the change ("-": there is none). OUTPUT gets rulesets.sarif (places in the files), cases.txt
# (what came out otherwise than stated, and a count) and comment.md (for a pull request: what changed, short first).
set -u
folder=$1 output=$2 base=${3:--}
shift 2
[ "$#" -gt 0 ] && shift
mkdir -p "$output"
worst=0
run() {
  "$@"
  code=$?
  if [ "$code" -gt "$worst" ]; then worst=$code; fi
}
run changeout rules lint "$folder" --format sarif --output "$output/rulesets.sarif" "$@"
run changeout rules cases "$folder" "$@" > "$output/cases.txt" 2>&1
: > "$output/comment.md"
[ "$base" = - ] || for header in $(find "$folder" -name ruleset.yaml); do
  place=$(dirname "$header")
  before=$base${place#"$folder"}
  [ -d "$before" ] && run changeout rules compare "$before" "$place" --format markdown "$@" >> "$output/comment.md"
done
grep -v '^$' "$output/cases.txt" | tail -n 20
exit "$worst"
