#!/usr/bin/env python3
"""Takes subs and asks Photon Ledger after each one what to do next. Python 3.8 or later, its standard library alone.

    python3 capture_loop.py                                   a rehearsal: an invented night, over in seconds
    PHOTON_LEDGER=http://club.example python3 capture_loop.py another server

For a real night replace the class Camera, and SETUP, GOAL and ENDS_AT by yours.
Ends with 0 when the session is over, 1 when the service refuses a question or cannot be reached, 3 when the night grows
longer than the limits below allow. What the camera raises ends it too.
"""

import json
import os
import sys
import time
import urllib.error
import urllib.request
from datetime import datetime, timedelta, timezone

SERVICE = os.environ.get("PHOTON_LEDGER", "http://127.0.0.1:8080")
MOST_SUBS = int(os.environ.get("MOST_SUBS", "500"))  # the loop ends after so many subs, whatever happens
MOST_PAUSES = int(os.environ.get("MOST_PAUSES", "48"))  # and after so many pauses one after the other
TIMEOUT_SECONDS = float(os.environ.get("TIMEOUT_SECONDS", "20"))
MOST_RETRIES = int(os.environ.get("MOST_RETRIES", "5"))
LONGEST_WAIT_SECONDS = 300

SETUP = {
    "camera": {
        "readNoiseElectrons": 1.6,
        "electronsPerAdu": 0.25,
        "offsetAdu": 500,
        "bitDepth": 16,
        "fullWellElectrons": 16000,
        "darkCurrent": {"electronsPerPixelSecond": 0.0008, "atCelsius": -10},
    },
    "sky": {"electronsPerPixelSecond": 0.12},
    "target": {"electronsPerPixelSecond": 0.03},
    "plan": {
        "overheadSeconds": 6,
        "interruptionsPerHour": 1,
        "subLadderSeconds": [60, 120, 180, 300, 600],
    },
}
GOAL = {"snr": 5, "per": "pixel"}
ENDS_AT = "2026-11-15T04:30:00Z"


class Camera:
    """Yours goes here. This one plays a night: clear, thick cloud from the fifth sub to the eighth, clear again."""

    def __init__(self):
        self.clock = datetime(2026, 11, 14, 20, tzinfo=timezone.utc)
        self.taken = 0

    def now(self):
        """The time in UTC; for a real night datetime.now(timezone.utc)."""
        return self.clock

    def expose(self, seconds):
        """Takes a sub, keeps the frame, and returns what was measured on it."""
        self.clock += timedelta(seconds=seconds + 6)
        self.taken += 1
        cloudy = 5 <= self.taken <= 8
        return {
            "backgroundAdu": 500 + int(seconds * (1.5 if cloudy else 0.485)),
            "sensorCelsius": -10,
            "relativeStarFlux": 0.1 if cloudy else 1,
            "relativeFwhm": 1,
        }

    def rest(self, until):
        """Waits for better times; `until` is when the service would try again, or None."""
        self.clock = max(self.clock, until or self.clock + timedelta(minutes=5))


class Refused(Exception):
    """The service does not answer this question; the message names every bad field."""


def ask(path, question):
    """Asks a question. Waits as long as the service says when it is busy or has been asked too often."""
    body = json.dumps(question).encode()
    for attempt in range(MOST_RETRIES + 1):
        request = urllib.request.Request(SERVICE + path, body, {"Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(request, timeout=TIMEOUT_SECONDS) as response:
                return json.load(response)
        except urllib.error.HTTPError as error:
            with error:
                if error.code not in (429, 503) or attempt == MOST_RETRIES:
                    raise Refused(problem_text(path, error)) from None
                time.sleep(wait_seconds(error.headers.get("Retry-After"), attempt))
        except OSError as error:
            if attempt == MOST_RETRIES:
                raise Refused(f"no answer from {SERVICE}{path}: {error}") from None
            time.sleep(wait_seconds(None, attempt))
    raise AssertionError("unreachable")


def wait_seconds(retry_after, attempt):
    """Seconds that the service asks to wait; without a word from it one, two, four …"""
    seconds = int(retry_after) if (retry_after or "").isdecimal() else 2**attempt
    return min(seconds, LONGEST_WAIT_SECONDS)


def problem_text(path, error):
    """What a problem document says, a line for each bad field."""
    try:
        problem = json.load(error)
        fields = [f"  {it['pointer']}: {it['message']}" for it in problem.get("errors", [])]
        return "\n".join([f"{path} refused ({error.code}): {problem['detail']}", *fields])
    except (ValueError, KeyError, TypeError, AttributeError):
        return f"{path} refused ({error.code})"


def time_of(text):
    """A time of the service as a datetime; None stays None."""
    return text and datetime.fromisoformat(text.replace("Z", "+00:00"))


def night(camera):
    """Runs one session; returns the exit code."""
    seconds = ask("/v1/sub-exposure", SETUP)["recommended"]["subSeconds"]
    print(f"plan: subs of {seconds} s")
    subs = []
    pauses = 0
    while len(subs) < MOST_SUBS:
        started = camera.now().strftime("%Y-%m-%dT%H:%M:%SZ")
        subs.append({"startedAt": started, "subSeconds": seconds, **camera.expose(seconds)})
        check = ask("/v1/session-check", {**SETUP, "goal": GOAL, "endsAt": ENDS_AT, "subs": subs})
        action, seconds = check["action"], check["subSeconds"]
        print(f"{started} sub {len(subs)}: {action}, next {seconds} s. {check['reason']}", flush=True)
        if action == "finish":
            return 0
        if action == "pause":
            pauses += 1
            if pauses > MOST_PAUSES:
                print("paused for too long; giving up", file=sys.stderr)
                return 3
            camera.rest(time_of(check.get("tryAgainAt")))
        elif action in ("keep", "lengthen", "shorten"):
            pauses = 0
        else:
            raise Refused(f'cannot tell what "{action}" means')
    print("as many subs as the script may take; giving up", file=sys.stderr)
    return 3


if __name__ == "__main__":
    try:
        sys.exit(night(Camera()))
    except Refused as refused:
        print(refused, file=sys.stderr)
        sys.exit(1)
