#!/bin/bash
# Writes the table of checks against the outside: runs the given test programs and turns what they record into Markdown.
# Usage: write_table.sh OUT.md PROGRAM...
set -euo pipefail
out=$1
shift
lines=$(mktemp)
trap 'rm -f "$lines"' EXIT
for program in "$@"; do
  LEAFHUNGER_CHECKS=$lines "$program" >/dev/null
done
{
  echo "# Checks against the outside"
  echo
  echo "Made by \`write_table.sh\` from what the tests recorded; do not edit. Conditions stand beside each check in its test."
  echo
  echo "| check | source | published | ours | difference | tolerance |"
  echo "|---|---|---|---|---|---|"
  awk -F'\t' '{ printf "|"; for (i = 1; i <= NF; i++) printf " %s |", $i; print "" }' "$lines"
} >"$out"
