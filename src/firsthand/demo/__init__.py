"""The demo costume: the Tide Warden of a made-up village pageant, drafted by us from numbers.

Nothing in it is anybody's pattern: wearer, village, dates, budget and shelf are invented, and every outline is drafted in
this package from a size chart of body measurements (:mod:`firsthand.demo._chart`).

It must not come out spotless. These faults are deliberate, so that there is something to find; everything else is sound:

* the hose's waist edge has no fate (nobody wrote down its casing);
* the skirt's back gore is 8 mm longer at the side than the front gore, in size L only;
* the double notch at the back of the shirt's sleeve cap sits 10 mm too low;
* the cape's paper is a copy at 97 %, and its size L is trimmed off;
* the jerkin's shoulder wing is torn: only its rough size is known; its pattern expects a cloth of 0.6 mm, and the
  melton is 2.2 mm thick;
* hood and ruff are only cards;
* the wearer's neck girth is written 53 for 35, and her upper arm was not measured;
* the hood's lining is bound to no fabric;
* there is less velour on the shelf than hose and hood take, and three shirt buttons where four are needed.
"""

from firsthand.demo._files import COSTUME, demo_files, demo_patterns, write_demo
from firsthand.demo._skirt import half_circle_radius

__all__ = ["COSTUME", "demo_files", "demo_patterns", "half_circle_radius", "write_demo"]
