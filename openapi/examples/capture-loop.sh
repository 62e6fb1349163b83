#!/bin/sh
# Takes subs and asks Photon Ledger after each one what to do next. POSIX shell and curl, nothing else.
#
#   sh capture-loop.sh                                   a rehearsal: an invented night, over in seconds
#   PHOTON_LEDGER=http://club.example sh capture-loop.sh another server
#
# For a real night replace the four functions under "Your camera", and SETUP, GOAL and ENDS_AT by yours.
# Ends with 0 when the session is over, 1 when the service refuses a question or cannot be reached, 2 when the camera
# fails, 3 when the night grows longer than the limits below allow.
set -u
LC_ALL=C
export LC_ALL

SERVICE=${PHOTON_LEDGER:-http://127.0.0.1:8080}
MOST_SUBS=${MOST_SUBS:-500}           # the loop ends after so many subs, whatever happens
MOST_PAUSES=${MOST_PAUSES:-48}        # and after so many pauses one after the other
PAUSE_SECONDS=${PAUSE_SECONDS:-0}     # a real night wants about 300
TIMEOUT_SECONDS=${TIMEOUT_SECONDS:-20}
MOST_RETRIES=${MOST_RETRIES:-5}

# --- Your set-up ------------------------------------------------------------------------------------------------------
SETUP='"camera": {"readNoiseElectrons": 1.6, "electronsPerAdu": 0.25, "offsetAdu": 500, "bitDepth": 16,
    "fullWellElectrons": 16000, "darkCurrent": {"electronsPerPixelSecond": 0.0008, "atCelsius": -10}},
  "sky": {"electronsPerPixelSecond": 0.12},
  "target": {"electronsPerPixelSecond": 0.03},
  "plan": {"overheadSeconds": 6, "interruptionsPerHour": 1, "subLadderSeconds": [60, 120, 180, 300, 600]}'
GOAL='{"snr": 5, "per": "pixel"}'
ENDS_AT='2026-11-15T04:30:00Z'

# --- Your camera ------------------------------------------------------------------------------------------------------
# As they stand, they play a night: clear, then thick cloud from the fifth sub to the eighth, then clear again.
clock=72000 # seconds since the midnight before

# The time in UTC. For a real night: date -u +%Y-%m-%dT%H:%M:%SZ
now() {
  printf '2026-11-%02dT%02d:%02d:%02dZ' $((14 + clock / 86400)) $((clock / 3600 % 24)) $((clock / 60 % 60)) $((clock % 60))
}

# Exposes for $1 seconds and keeps the frame as $2. Not 0 when it failed.
expose() {
  clock=$((clock + $1 + 6))
}

# Prints what was measured on frame $2 of $1 seconds, as members of a JSON object.
measure() {
  if [ "$taken" -ge 5 ] && [ "$taken" -le 8 ]; then light=10 glow=300; else light=100 glow=97; fi
  printf '"backgroundAdu": %d, "sensorCelsius": -10, "relativeStarFlux": %d.%02d, "relativeFwhm": 1' \
    $((500 + $1 * glow / 200)) $((light / 100)) $((light % 100))
}

# Called for a pause of $1 seconds; the rehearsal only moves its clock.
rest() {
  clock=$((clock + 300))
  sleep "$1"
}

# --- Asking -----------------------------------------------------------------------------------------------------------
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 130' INT TERM

# Writes JSON as lines of "pointer value", so that values can be found without a JSON tool.
flatten() {
  awk '
    function eat(length_) { rest = substr(rest, length_ + 1); match(rest, /^[ \t\r\n]*/); rest = substr(rest, RLENGTH + 1) }
    function string(   raw) {
      if (!match(rest, /^"([^"\\]|\\.)*"/)) { rest = ""; return "" }
      raw = substr(rest, 2, RLENGTH - 2); eat(RLENGTH)
      gsub(/\\n/, " ", raw); gsub(/\\"/, "\"", raw); gsub(/\\\//, "/", raw); return raw
    }
    function value(pointer,   count, name, mark) {
      mark = substr(rest, 1, 1)
      if (mark == "{") {
        for (eat(1); substr(rest, 1, 1) == "\""; ) {
          name = string(); eat(1); value(pointer "/" name)
          if (substr(rest, 1, 1) == ",") eat(1)
        }
        eat(1)
      } else if (mark == "[") {
        for (eat(1); rest != "" && substr(rest, 1, 1) != "]"; count++) {
          value(pointer "/" count + 0)
          if (substr(rest, 1, 1) == ",") eat(1)
        }
        eat(1)
      } else if (mark == "\"") print pointer " " string()
      else if (match(rest, /^[-+.a-zA-Z0-9]+/)) { print pointer " " substr(rest, 1, RLENGTH); eat(RLENGTH) }
      else rest = ""
    }
    { rest = rest $0 "\n" }
    END { eat(0); value("") }'
}

# The value at pointer $1 of the last answer.
field() {
  awk -v wanted="$1" '$1 == wanted { sub(/^[^ ]* /, ""); print; exit }' "$work/fields"
}

# Asks $1 the question $2. Waits as long as the service says when it is busy or has been asked too often.
ask() {
  printf '%s' "$2" >"$work/question"
  status=$(curl --silent --show-error --connect-timeout 5 --max-time "$TIMEOUT_SECONDS" \
    --retry "$MOST_RETRIES" --retry-max-time 300 --retry-connrefused \
    --header 'Content-Type: application/json' --data-binary "@$work/question" \
    --output "$work/answer" --write-out '%{http_code}' "$SERVICE$1" 2>"$work/trouble") || {
    printf 'no answer from %s%s: %s\n' "$SERVICE" "$1" "$(tail -n 1 "$work/trouble")" >&2
    return 1
  }
  flatten <"$work/answer" >"$work/fields"
  [ "$status" = 200 ] && return 0
  printf '%s refused (%s): %s\n' "$1" "$status" "$(field /detail)" >&2
  # Each bad field, by the place where it stands in the question.
  awk '/^\/errors\/[0-9]+\/(pointer|message) / { isPlace = $1 ~ /pointer$/; sub(/^[^ ]* /, "")
       if (isPlace) printf "  %s: ", $0; else print }' "$work/fields" >&2
  return 1
}

# --- The night --------------------------------------------------------------------------------------------------------
ask /v1/sub-exposure "{$SETUP}" || exit 1
seconds=$(field /recommended/subSeconds)
printf 'plan: subs of %s s\n' "$seconds"

subs='' taken=0 pauses=0
while [ "$taken" -lt "$MOST_SUBS" ]; do
  case $seconds in '' | *[!0-9]*)
    printf 'the advised length is "%s", not whole seconds: give a ladder of lengths in plan.subLadderSeconds\n' "$seconds" >&2
    exit 1
    ;;
  esac
  taken=$((taken + 1))
  started=$(now)
  frame="$work/sub-$taken"
  expose "$seconds" "$frame" || { echo 'the camera failed' >&2; exit 2; }
  measured=$(measure "$seconds" "$frame") || { echo 'the frame cannot be measured' >&2; exit 2; }
  subs="$subs${subs:+,}{\"startedAt\": \"$started\", \"subSeconds\": $seconds, $measured}"

  ask /v1/session-check "{$SETUP, \"goal\": $GOAL, \"endsAt\": \"$ENDS_AT\", \"subs\": [$subs]}" || exit 1
  action=$(field /action)
  seconds=$(field /subSeconds)
  printf '%s sub %d: %s, next %s s. %s\n' "$started" "$taken" "$action" "$seconds" "$(field /reason)"
  case $action in
    keep | lengthen | shorten) pauses=0 ;;
    pause)
      pauses=$((pauses + 1))
      [ "$pauses" -le "$MOST_PAUSES" ] || { echo 'paused for too long; giving up' >&2; exit 3; }
      rest "$PAUSE_SECONDS"
      ;;
    finish) exit 0 ;;
    *)
      printf 'cannot tell what "%s" means\n' "$action" >&2
      exit 1
      ;;
  esac
done
echo 'as many subs as the script may take; giving up' >&2
exit 3
