"""Reads what a free text such as `M8 stud with serrated washer` says of a fastener; what it does not say stays unknown."""

from __future__ import annotations

import re

INCH_M = 0.0254
_METRIC = re.compile(r"(?<![a-z0-9.])m ?([1-9]\d?(?:\.\d)?)(?![\d.]*[a-z]*2|\d)")
_MILLIMETRES = re.compile(r"(?<![\d.x/])((?:1[0-4]|[1-9])(?:\.\d)?) ?mm (?:thread|stud|screw|machine|sheet|self)")
_INCHES = re.compile(r"(?<![\d/.-])([1-9]\d?)/(4|8|16|32)(?!\d)")
_NUMBER = re.compile(r"(?:#|\bno\.? ?|\bnumber )([2-9]|1[0-4])(?!\d)")

_OWN_THREAD = re.compile(
    r"self[- ]?(?:tap|drill|cut)|\btapping screw|\bsheet(?:[- ]?metal)?[- ]?screw|\bdry ?wall|\bwood[- ]?screw"
    r"|\b(?:chip|particle) ?board|\bscrew for sheet"
)
_FULL_THREAD = re.compile(r"\bstud|\bbolt|\bnut\b|\bmachine screw|\bm ?[1-9]\d? ?(?:screw|thread)")
_NO_LOCK = re.compile(r"\b(?:no|without(?: an?)?) [^,;]*")
_LOCK = re.compile(
    r"serrat|tooth|\bstar[- ]washer|\block(?:ing)?[- ]?(?:washer|nut|plate)|\b(?:spring|wave|fan)[- ]washer"
    r"|\banti-?rotation|\bweld(?:ed)?[- ]nut|\bclinch[- ]nut|\b(?:nut[- ]insert|rivet[- ]nut)"
)
_PLAIN_WASHER = re.compile(r"\b(?:plain|flat) washer")

# Where a distance to it is told, or that it is beside it, the bolt is another one.
_DISTANT = re.compile(
    r"\b(?:\d[\d.]* ?(?:mm|cm|m|in|ft)\b (?:away |clear )?(?:from|behind|beside|in front of|above|below)"
    r"|beside|next to|near(?: to)?|close to|away from|clear of|not(?: on| at| under)?|instead of) [^,;)]*"
)
_BELT = re.compile(
    r"\b(?:seat ?|safety )?belt[- ](?:anchor|bolt|buckle|retractor|reel|mount)|\bbuckle\b|\bretractor\b|\bchild[- ]seat"
    r"|\btop[- ]tether|\bisofix\b|\b(?:bolt|screw|nut|stud) of (?:the |a )?[a-z ]*belt\b"
)
_SEAT = re.compile(
    r"\b(?:seat|bench)(?:'s)?[- ](?:[a-z]?\d+ )?(?:bolt|rail|track|runner|mount|frame|stud|base)"
    r"|\b(?:bolt|screw|nut|stud) of (?:the |a )?[a-z ]*(?:seat|bench)\b"
)


def thread(text: str) -> float | None:
    """Return the nominal diameter in m of the thinnest thread that a text names, None where it names none.

    `M8`, `8 mm stud`, `5/16 in`; a `10 mm bolt` may be named for its head and tells none. Numbered threads
    by ASME B1.1 (from memory): 0.060 in + 0.013 in a number.
    """
    low = text.lower()
    found = [float(size) / 1000 for size in (*_METRIC.findall(low), *_MILLIMETRES.findall(low))]
    found += [int(above) / int(below) * INCH_M for above, below in _INCHES.findall(low)]
    found += [(0.060 + 0.013 * int(number)) * INCH_M for number in _NUMBER.findall(low)]
    return min(found, default=None)


def cuts_own_thread(text: str) -> bool | None:
    """Say whether a text names a screw that cuts its own thread in the sheet, None where it does not tell."""
    low = text.lower()
    if _OWN_THREAD.search(low):
        return True
    return False if _FULL_THREAD.search(low) else None


def keeps_tight(text: str) -> bool | None:
    """Say whether a text names something that keeps the joint from turning loose (a serrated or spring washer, a nut that
    cannot turn), False where it names only a plain washer or denies it, None where it does not tell."""
    low = text.lower()
    denied = _NO_LOCK.findall(low)
    if _LOCK.search(_NO_LOCK.sub(" ", low)):
        return True
    return False if any("washer" in one for one in denied) or _PLAIN_WASHER.search(low) else None


def holds_down(text: str) -> str | None:
    """Return `belt` or `seat` where a text names a bolt of a seat belt (or child seat) or of a seat, else None."""
    low = _DISTANT.sub(" ", text.lower())
    if _BELT.search(low):
        return "belt"
    return "seat" if _SEAT.search(low) else None
