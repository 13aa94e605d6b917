"""Help while a piece is made, and on the panel itself."""

HELP_MAKING: dict[str, str] = {
    "help.make-cut.for": "The straight tube: all legs together, less what the bends save, with "
    "what the ends need.",
    "help.make-cut.first": "Cut beside the line: what is lost here is lost at the last leg.",
    "help.make-cut.second": "The flag put on the other end later: then every mark lies wrong. "
    "Leave it on.",
    "help.make-slide.for": "What does not pass a bend goes on now: nuts, sleeves, clamps.",
    "help.make-slide.first": "A nut the wrong way round: its thread looks to the tube's end.",
    "help.make-slide.second": "One forgotten: after the bend it never goes on again. Count them.",
    "help.make-mark.for": "The mark is what meets the bender's line. Every mark is measured from "
    "the flag.",
    "help.make-mark.first": "Measured from the mark before: small errors add up. Tape at the flag "
    "each time.",
    "help.make-mark.second": "A thick line: nobody knows which edge counts. Thin, and all round.",
    "help.make-re-mark.for": "The correction moves this mark. The new one is told from the old "
    "one, and from the last heel.",
    "help.make-re-mark.first": "Moved the wrong way: find the flag first, then look at the "
    "picture.",
    "help.make-re-mark.second": "Old mark left: strike it out, or the bend starts there.",
    "help.make-turn.for": "The tube turns in the latch so that the next bend goes its way. You "
    "look from the latch along the tube.",
    "help.make-turn.first": "Turned the other way: the run becomes its mirror image. Compare heel "
    "and full dot.",
    "help.make-turn.second": "It slid along while you turned it: see that the mark still meets "
    "the line.",
    "help.make-seat.for": "The mark meets the line that is told. Latch closed, handle against the "
    "tube, scale at zero.",
    "help.make-seat.first": "The line beside it met: read its name, not its place.",
    "help.make-seat.second": "Tube the wrong way in: look whether the flag is held or free, as "
    "told.",
    "help.make-seat.third": "No zero taken: every pull is off by what the scale shows then.",
    "help.make-pull.for": "Pull to the long tick. Let go, and the tube springs back towards the "
    "short one, its target.",
    "help.make-pull.first": "Pulled past it in a swing: over is for good. The last degrees slowly.",
    "help.make-pull.second": "Stopped at the target: it springs back and is under. Pull to the "
    "reading.",
    "help.make-pull.third": "The scale read aslant: look straight at it.",
    "help.make-again.for": "It sprang back short. Seat it as before and pull past the last "
    "reading, to the new one.",
    "help.make-again.first": "Pulled to the target only: it gives and springs back, nothing has "
    "changed.",
    "help.make-again.second": "Seated a little beside: the bend gets a second start. Mark on its "
    "line again.",
    "help.make-check.for": "The angle that stayed once the handle is off. It tells: good, pull "
    "on, or over.",
    "help.make-check.first": "Handle still on: that reads the pull, not the bend.",
    "help.make-check.second": "The angle between the legs typed: it is how far the tube turned "
    "from straight.",
    "help.make-check.third": "Gauge on the curve: lay it on straight tube on both sides.",
    "help.make-over.for": "The bend went past its tolerance. Keep it and correct the rest, or "
    "scrap the piece.",
    "help.make-over.first": "Bent back a little: it flattens and cracks there. Never.",
    "help.make-over.second": "Kept at a guess: the panel tells what the far end will miss, look "
    "at that.",
    "help.make-correct.for": "A bend came out off. Legs, angles and turns still to come are "
    "changed so that the end arrives.",
    "help.make-correct.first": "Old marks used on: strike them out, the new ones are told from "
    "them.",
    "help.make-correct.second": "Taken unread: see what miss stays; the best may still be too "
    "much.",
    "help.make-scrap.for": "The piece is given up, and why. The reason shows where tube is lost.",
    "help.make-scrap.first": "Any reason tapped in a hurry: then the log hides what went wrong.",
    "help.make-scrap.second": "Laid among the good ones: mark it and cut it through.",
    "help.make-store.for": "All bends are made. Try the piece at both ports, then store it.",
    "help.make-store.first": "Forced into its place: it must lie there by itself, both nuts "
    "turned by hand.",
    "help.make-store.second": "The next one cut before this one is tried: tell first where it "
    "missed.",
    "help.make-calipers.for": "How round the bend stayed: the largest and the smallest diameter "
    "at its middle.",
    "help.make-calipers.first": "Measured at one place: turn the calipers right round the tube.",
    "help.make-calipers.second": "Measured beside the curve: its middle is the flattest.",
    "help.make-port.for": "Where the last piece missed its port. Look along the tube to the port, "
    "last heel down.",
    "help.make-port.first": "Seen from the port: left and right change places. Look the way the "
    "tube goes in.",
    "help.make-port.second": "Measured while it was forced: let it hang free.",
    "help.make-aim.for": "The pieces to come are changed by what the last one missed. So they "
    "arrive.",
    "help.make-aim.first": "Lines or radius changed after one piece: wait until a second one "
    "shows the same.",
    "help.make-aim.second": "A bracket that moved: measure the ports again before pieces are "
    "changed.",
    "help.kept.for": "The pieces are made and in the log, with every reading.",
    "help.kept.first": "Chips left inside: blow the tube out before a fitting goes on.",
    "help.kept.second": "Laid among others: tie the name to them now.",
    "help.learnt.for": "Each measured bend teaches how far this tube springs back. The band is "
    "where the next one will land.",
    "help.learnt.first": "A bend that slipped in the latch counted in: strike it out.",
    "help.learnt.second": "The whole lot begun anew for one bad bend: strike that bend only.",
    "help.trial.for": "One bend in an offcut: its cut length, both legs to the corner and its "
    "angle tell the die's true radius.",
    "help.trial.first": "Legs taken over the outside: half a tube too much at 90°. Take it off.",
    "help.trial.second": "Only one bend: half a millimetre in each size is over one in the "
    "radius. Bend three.",
    "help.trial-u.for": "A U tells the radius best: half of the width outside, less half a tube.",
    "help.trial-u.first": "Measured where the legs spread: stay close to the bend, square to both.",
    "help.trial-u.second": "Not a whole U: at less than 180° the width is too large.",
    "help.copy.for": "The log goes onto a stick and is read back there. The records here stay.",
    "help.copy.first": "Stick pulled too early: wait until it says to take it out.",
    "help.copy.second": "Only what is new on an empty stick: for everything choose all.",
    "help.settings.for": "How this panel is: language, colours, keypad's side, size of the "
    "screen. No piece changes by it.",
    "help.settings.first": "Units changed in the hope to change a job: they are for the next new "
    "one.",
    "help.settings.second": "The screen never measured: keys and the angle held to it are of a "
    "size assumed.",
    "help.ruler.for": "Two bars, moved until your ruler shows what is told between them. "
    "Then the panel knows its millimetres.",
    "help.ruler.first": "Read aslant: ruler flat on the glass, eye square above.",
    "help.ruler.second": "Bars left where they were: move them until the ruler says so.",
    "help.gauge.for": "The bend at its true angle. Lay the tube on the glass, one leg between the "
    "lines, and look at the other.",
    "help.gauge.first": "Held in front of the glass: it looks another angle. Lay it on.",
    "help.gauge.second": "Handle still on: let go first, the tube must rest.",
    "help.machine.for": "What this machine lacks, and what to do. Work in hand stays meanwhile.",
    "help.machine.first": "Low voltage left alone: a weak supply can stop the panel at any time.",
    "help.machine.second": "No clock set: the log's order is right, its times are not to be "
    "trusted.",
    "help.widths.for": "How far off marks, angles and turns of this bench may be. The ring at the "
    "far end and corrections go by it.",
    "help.widths.first": "Too narrow out of pride: runs look as if they fit, and miss at the port.",
    "help.widths.second": "Too wide for comfort: every run looks doubtful. Take what measured "
    "pieces show.",
    "help.piece.for": "A piece from the log, as it was made. What was noticed of it later can be "
    "added.",
    "help.piece.first": "Another piece of the same run read for it: compare the number on its tag.",
    "help.piece.second": "A remark left for tomorrow: write it while you have the piece in your "
    "hand.",
    "help.write-remark.for": "What was seen on a finished piece, and by whom. The record itself "
    "stays as it is.",
    "help.write-remark.first": "Only that it is bad: write where, how much, and what was done "
    "about it.",
    "help.write-remark.second": "No name: nobody knows whom to ask. Put yours at the end.",
    "help.make-port-ahead.for": "Along the tube: did the end stop short of where it belongs, or "
    "go past it?",
    "help.make-port-ahead.first": "Measured to the nut or the fitting's face: measure to the "
    "tube's own end.",
    "help.make-port-ahead.second": "Short typed as past: look which way the arrow of the picture "
    "goes.",
    "help.make-port-tilt.for": "How many degrees the end points off: up or down, then right or "
    "left, last heel down.",
    "help.make-port-tilt.first": "Judged by the nut: lay a straightedge along the tube.",
    "help.make-port-tilt.second": "A degree let go as nothing: over 300 mm it is 5 mm.",
}
