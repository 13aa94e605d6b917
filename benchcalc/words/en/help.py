"""Help on the bench, the run as it is planned, and shapes."""

HELP: dict[str, str] = {
    "help.title": "What this is for",
    "help.mistakes": "What to mind",
    "help.page": "{page} of {pages}",
    "help.before": "before",
    "help.close": "close",
    "help.next": "next",
    "help.word.held": "held",
    "help.word.mark": "mark",
    "help.word.line": "line",
    "help.word.radius": "radius",
    "help.word.cut": "cut length",
    "help.word.heel": "heel",
    "help.word.throat": "throat",
    "help.word.target": "target",
    "help.word.pull": "pull to",
    "help.word.wall": "wall",
    "help.word.outside": "outside",
    "help.word.lot": "lot H4-7",
    "help.word.largest": "largest",
    "help.word.smallest": "smallest",
    "help.mind.ends": "Cut ends are sharp: gloves on until they are deburred.",
    "help.mind.swing": "The free leg swings round: keep face and hands out of its way.",
    "help.mind.springs": "Let the handle back slowly: the tube pushes it.",
    "help.mind.kinked": "A kinked or flattened tube never carries pressure.",
    "help.bench.for": "The panel leads from a drawing to a bent tube. First say what lies on the "
    "bench: bender, tube, metal, lot.",
    "help.bench.first": "Another die than the one picked: its radius is another, so every mark is "
    "off. Read its stamp.",
    "help.bench.second": "A new lot under the old lot's name: bends spring back otherwise than "
    "told.",
    "help.pick-bender.for": "The bender gives the radius of the die and the lines that a mark has "
    "to meet.",
    "help.pick-bender.first": "8 mm tube in a 5/16 in die: it goes in and comes out flat. Measure "
    "the tube.",
    "help.pick-bender.second": "Lines nobody has tried: bend an offcut first and type it under "
    "trial bends.",
    "help.pick-material.for": "How far the metal stretches and springs back. The heel of a bend "
    "is stretched, the throat pressed.",
    "help.pick-material.first": "Hard tube taken for annealed: it cracks at the heel or kinks. "
    "Read the certificate.",
    "help.pick-material.second": "Another steel picked because it is nearly the same: it springs "
    "back otherwise.",
    "help.pick-tape.for": "Marks are told as your tape shows them: its nearest line, and what is "
    "left over.",
    "help.pick-tape.first": "A worn hook at the tape's end: start at its 100 mm line and take 100 "
    "off.",
    "help.pick-tape.second": "Thirty-seconds read for sixteenths: count the lines of one inch.",
    "help.write-od.for": "The tube across its outside. It must be the size the die is made for.",
    "help.write-od.first": "A nominal size typed: 6 is not 6.35. Measure the tube.",
    "help.write-od.second": "Measured over a burr or an oval end: go a hand's width in, twice "
    "crosswise.",
    "help.write-wall.for": "How thick the wall is. Springback, flattening and pressure all depend "
    "on it.",
    "help.write-wall.first": "Measured with the burr on: it reads too thick. Deburr first.",
    "help.write-wall.second": "Outside less bore is two walls: half of it is one.",
    "help.write-lot.for": "The lot stands on the tube. What its bends teach counts for the same "
    "lot first.",
    "help.write-lot.first": "The number on the box typed: read the one on the tube.",
    "help.write-lot.second": "Kept when a new bundle is begun: the first bends come out off.",
    "help.write-pieces.for": "How many alike. The panel counts them, and each one teaches the "
    "next.",
    "help.write-pieces.first": "All cut before the first was tried: cut one, bend it, try it at "
    "its ports.",
    "help.write-pieces.second": "A left and a right one counted as alike: a mirror image is a run "
    "of its own.",
    "help.write-name.for": "What the run is called here, on its sheet and in the log.",
    "help.write-name.first": "Two runs of one name: nobody can tell them apart later. Add the "
    "place.",
    "help.write-name.second": "The old name after a change of the drawing: add its revision.",
    "help.plan-leg.for": "A leg goes from corner to corner: where the centrelines cross. The last "
    "one ends at the tube's end.",
    "help.plan-leg.first": "Measured to where the curve begins: the run comes out short. Lay a "
    "straightedge along both legs.",
    "help.plan-leg.second": "Measured along the outside: half a tube too much at every 90° bend.",
    "help.plan-bend.for": "How far the tube turns from straight on: 0 is straight, 90 square, 180 "
    "back again.",
    "help.plan-bend.first": "The angle between the legs typed: a slight bend of 30 is 150 there.",
    "help.plan-bend.second": "A U measured to a corner: from 150° on the leg goes to the crown, "
    "its farthest reach.",
    "help.plan-turn.for": "How far this bend leaves the plane of the one before: clockwise, seen "
    "from the flag along the tube.",
    "help.plan-turn.first": "Seen from the far end: clockwise and counter-clockwise change "
    "places. Stand at the flag.",
    "help.plan-turn.second": "0 typed for an offset: there the second bend goes back, that is 180.",
    "help.plan-turn.third": "Taken for what the hands do: that is told at the bender, and is the "
    "other way.",
    "help.plan-shape.for": "These bends are one shape. Its own sizes change them all together.",
    "help.plan-shape.first": "Made legs too early: then its height can no longer be changed at "
    "one place.",
    "help.plan-shape.second": "Its leg changed and the obstacle forgotten: look at the picture, "
    "it moves along.",
    "help.shape.for": "A shape by its name: type its sizes, the panel finds legs, bends and turns.",
    "help.shape.first": "An offset taken where the tube also goes sideways: that is a rolling "
    "offset.",
    "help.shape.second": "Three bends over something wide: take the saddle of four, flat on top.",
    "help.shape-offset.for": "Two equal bends carry the tube aside. Height goes from centreline "
    "to centreline.",
    "help.shape-offset.first": "The gap typed as height: from centre to centre is one tube more.",
    "help.shape-offset.second": "Steep and low: the bends run into each other. Take a flatter "
    "angle.",
    "help.shape-rolling-offset.for": "One slope carries the tube up and sideways. Rise and roll "
    "stand square to each other.",
    "help.shape-rolling-offset.first": "Roll to the wrong hand: it goes clockwise of the rise, "
    "seen along the tube. Else a minus.",
    "help.shape-rolling-offset.second": "The slant itself typed as rise: type the two square "
    "sizes, the slant is worked out.",
    "help.shape-saddle.for": "Three bends over something in the way. Height is the centreline's "
    "at the crown.",
    "help.shape-saddle.first": "The obstacle's own height typed: half a tube and the gap under it "
    "come on top.",
    "help.shape-saddle.second": "The outer bends' angle typed: it is that of the middle one, they "
    "take half each.",
    "help.shape-flat-saddle.for": "Four equal bends over something wide. Flat is the straight "
    "piece on top.",
    "help.shape-flat-saddle.first": "The obstacle's own height typed: half a tube and the gap "
    "under it come on top.",
    "help.shape-flat-saddle.second": "Its middle measured from the near edge: it runs to the "
    "middle of the flat.",
    "help.shape-u.for": "The tube goes back beside itself. Width is from centreline to centreline.",
    "help.shape-u.first": "The width over the outsides typed: that is one tube too much.",
    "help.shape-u.second": "Narrower than the die bends: under twice its radius there is no U.",
    "help.shape-parallel.for": "A second tube beside this run, as far off on every straight.",
    "help.shape-parallel.first": "The gap typed as spacing: from centreline to centreline is one "
    "tube more.",
    "help.shape-parallel.second": "The same gap expected in the bends: one die bends both alike, "
    "so it changes there.",
    "help.shape-port.for": "The last leg runs into a port: where it lies, and which way the tube "
    "goes in.",
    "help.shape-port.first": "Measured to the fitting's face: the tube goes on inside. Give where "
    "it stops.",
    "help.shape-port.second": "The direction turned about: it is the way the tube travels, into "
    "the port.",
    "help.shape-ports.for": "Two ports: where each lies, and which way the tube runs there. The "
    "panel finds the runs.",
    "help.shape-ports.first": "The two measured from different places: take one corner of the "
    "frame for both.",
    "help.shape-ports.second": "Both directions out of the ports: it runs out of the first and "
    "into the last.",
    "help.shape-ways.for": "Several runs lead there: fewest bends and least tube first. Choose "
    "one.",
    "help.shape-ways.first": "Only the tube looked at: where the end may miss less, it goes in "
    "more easily.",
    "help.shape-ways.second": "A small gap overlooked: there the tube nearly touches itself.",
    "help.minds.for": "All that you should know of this run before metal is spoiled.",
    "help.minds.first": "STOP taken for advice: it cannot be bent so, or must not. Change the run.",
    "help.minds.second": "CAUTION tapped away: a person has to decide, and that is you. Read its "
    "numbers.",
    "help.clash.for": "Where the tube meets itself, the bender or the bench; and an order of "
    "bending that does not.",
    "help.clash.first": "Bent in the old order after all: follow the bends as they are told.",
    "help.clash.second": "A vice or wall that the bender's profile does not know: nobody warns of "
    "it.",
}
