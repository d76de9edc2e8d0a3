"""How long each act takes one person at home, hands-on minutes.

No study of home sewing times is published; makers' diaries put whole garments at two to six times the figure on a pattern
envelope, with cutting and pressing a third to a half of it. All figures here are therefore common practice, a prior until
the maker's own times are known. Only fusing rests on a source (10-15 s for each place of the sole plate:
simplesewingprojects; poorhousequiltdesigns).
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["TIMES", "Time", "minutes"]

COMMON = "common practice"


@dataclass(frozen=True, slots=True)
class Time:
    """``base`` for getting ready, ``metre`` for each metre sewn or pressed, ``each`` for each thing counted; minutes."""

    base: float
    metre: float = 0.0
    each: float = 0.0
    source: str = COMMON


TIMES = {
    # paper and cloth
    "settle": Time(2.0, each=3.0),
    "tissue": Time(3.0, each=1.0),
    "alter": Time(2.0, each=8.0),
    "draw": Time(3.0, each=5.0),
    "preshrink": Time(10.0),
    "lay": Time(12.0, each=2.0),
    "cut": Time(2.0, each=2.5),
    "mark": Time(2.0, each=0.4),
    # trials on scraps
    "stitch test": Time(6.0),
    "press test": Time(4.0),
    "fuse test": Time(5.0),
    # preparing parts
    "fuse": Time(2.0, each=0.25, source="10-15 s each place: simplesewingprojects; poorhousequiltdesigns"),
    "mount": Time(4.0, metre=4.0),
    "staystitch": Time(1.0, metre=2.0, each=0.5),
    "dart": Time(1.0, each=4.0),
    "pleat": Time(3.0, each=2.0),
    "quarter": Time(2.0),
    "gather": Time(3.0, metre=5.0),
    "ready": Time(3.0, metre=10.0),
    "apply": Time(4.0, metre=8.0, each=3.0),
    # seams
    "seam": Time(3.0, metre=4.0),
    "seam gathered": Time(6.0, metre=12.0),
    "seam pleated": Time(5.0, metre=8.0),
    "seam stretched": Time(4.0, metre=8.0),
    "seam lapped": Time(4.0, metre=6.0),
    "seam eased": Time(5.0, metre=8.0),
    "neaten": Time(1.0, metre=1.5),
    "press": Time(1.5, metre=2.5),
    "turn": Time(4.0, metre=5.0),
    "make": Time(15.0),
    "join": Time(8.0, metre=6.0),
    # edges
    "hang": Time(3.0),
    "hem": Time(4.0, metre=9.0),
    "facing": Time(8.0, metre=9.0),
    "band": Time(10.0, metre=10.0),
    "casing": Time(4.0, metre=7.0),
    "fell": Time(3.0, metre=25.0),
    "binding": Time(6.0, metre=10.0),
    "press edge": Time(2.0, metre=3.0),
    # closures
    "buttonholes": Time(5.0, each=4.0),
    "buttons": Time(2.0, each=5.0),
    "eyelets": Time(5.0, each=2.0),
    "lacing": Time(4.0, each=0.5),
    "drawstring": Time(6.0),
    "clasp": Time(2.0, each=10.0),
    "hooks": Time(2.0, each=5.0),
    "snaps": Time(2.0, each=4.0),
    "zip": Time(25.0),
    "elastic": Time(10.0),
    "hook-and-loop": Time(3.0, each=6.0),
    # the end
    "by hand": Time(8.0, each=0.5),
    "last press": Time(12.0),
}


def minutes(act: str, *, length: float = 0.0, count: float = 0.0) -> float:
    """Minutes for an act, to the half minute.

    Examples
    --------
    >>> minutes("seam", length=500), minutes("buttons", count=6)
    (5.0, 32.0)
    """
    time = TIMES[act]
    return max(0.5, round(2 * (time.base + time.metre * length / 1000.0 + time.each * count)) / 2)
