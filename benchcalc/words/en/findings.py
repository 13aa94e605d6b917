"""Findings: a sentence each (what, the value, the limit, what to do) and a headline."""

FINDINGS: dict[str, str] = {
    "finding.od-die": "The tube is {od}, the die is made for {die}: take the die of the "
    "tube's size.",
    "finding.wall-die.unknown": "The profile names no walls for this material; yours is "
    "{wall}: try an offcut first.",
    "finding.wall-die": "The wall is {wall}; this die takes {least} to {most} in "
    "{material}: take another tube or another bender.",
    "finding.negative-straight": "The leg is {short} too short for its bends, they "
    "overlap: lengthen it by at least that.",
    "finding.straight-between": "The straight before this bend is {straight}; the bender "
    "needs {need} between bends: lengthen the leg.",
    "finding.straight-first": "The first straight is {straight}; {need} is needed {why}: {remedy}.",
    "finding.straight-last": "The last straight is {straight}; {need} is needed {why}: {remedy}.",
    "finding.need.held": "to hold it",
    "finding.need.free": "on the free side",
    "finding.need.fitting": "for the fitting",
    "finding.remedy.fitting": "lengthen the leg",
    "finding.remedy.cut": "lengthen it or allow extra to cut",
    "finding.mark-off-straight": "No line of the bender can be used here, its mark would "
    "fall on bent tube or off the tube: change the order, the held end, or the leg.",
    "finding.angle-travel": "{angle} needs a pull to {to}; the bender ends at {travel}: "
    "bend less or take another bender.",
    "finding.stock": "The run takes {cut} of tube; the stick is {stock}: take a longer "
    "stick or join two runs.",
    "finding.slip-on.start": "Slide on before bending, at the flagged end: {parts}. They "
    "do not pass afterwards.",
    "finding.slip-on.finish": "Slide on before bending, at the far end: {parts}. They do "
    "not pass afterwards.",
    "finding.overbend-guess": "The overbend is an estimate ({over} ± {spread} at {angle}) "
    "until this bench has measured: pull low first, then measure.",
    "finding.clash-self.meets": "The tube would need {room} more room, at {first} and "
    "{second}: lengthen a leg there or turn a bend another way.",
    "finding.clash-self.near": "The tube passes itself with only {room} between, at "
    "{first} and {second}: lengthen a leg there or turn a bend another way.",
    "finding.place.leg": "leg {number}",
    "finding.place.bend": "bend {number}",
    "finding.clash-bender.free": "At {angle} the tube on the free side meets the {body}{otherwise}",
    "finding.clash-bender.held": "At {angle} the tube on the held side lies in the "
    "{body}{otherwise}",
    "finding.clash-bender.near-free": "At {angle} the tube on the free side comes within "
    "{room} of the {body}{otherwise}",
    "finding.clash-bender.near-held": "At {angle} the tube on the held side comes within "
    "{room} of the {body}{otherwise}",
    "finding.u-width": "A U {width} wide cannot be bent here: one bend gives {single}, two "
    "bends need {least} or more: change the width or take another die.",
    "finding.fit": "The far end will miss its place by {miss}, corrected as well as can "
    "be; {within} is allowed: try it at its port before you store it.",
    "finding.strain": "Bending stretches the outside by {strain}; {material} is rated for "
    "{elongation} and may tear: bend an offcut first, or take a die of at least {least} "
    "radius.",
    "finding.radius-ratio": "The die's radius is {ratio} times the tube's diameter, under "
    "2 the tube may kink or flatten: bend an offcut first, or take a die of at least "
    "{least} radius.",
    "finding.hardness.or": " or ",
    "finding.hardness.unknown": "Only annealed {material} is worked out here, {limits} at "
    "most, and no hardness is given: look at the tube's certificate.",
    "finding.hardness.scale": "The tube is {hardness} {scale}; the limit for {material} is "
    "known as {limits}: have it measured so.",
    "finding.hardness": "The tube is {hardness} {scale}, over the {most} {scale} of "
    "annealed {material}: it may crack; take annealed tube.",
    "finding.standard-range": "The bore is {bore}, the wall {wall}; ASTM A269 promises no "
    "strength or hardness under {least_bore} bore or {least_wall} wall: bend an offcut "
    "first.",
    "finding.wall-after.nominal": "Bent, the wall is {outside} at the outside and {inside} "
    "at the inside, reckoned from the nominal {wall}: no standard is known here, measure "
    "the tube's wall.",
    "finding.wall-after": "Bent, the wall is {outside} at the outside and {inside} at the "
    "inside, reckoned from {thin}, the least that {wall} may be ({under} under).",
    "finding.pressure.thick": "At {design} this is thick-wall work: the need of {need} is "
    "held against a sixth of the diameter, {sixth}, and the pressure takes {share} of the "
    "allowable stress, where {most_share} is the limit. ASME B31.3 asks for special "
    "consideration: put it to the engineer.",
    "finding.pressure.design": "The design pressure is {design}: pressure work goes by the "
    "local code and a licensed person.",
    "finding.pressure.left": "{design} needs {need} of wall {place} (ASME B31.3); {wall} "
    "is left. That is arithmetic; pressure work goes by the local code and a licensed "
    "person.",
    "finding.pressure": "{design} needs {need} of wall {place} (ASME B31.3); only {wall} "
    "is left: take a wall of at least {enough}, or less pressure.",
    "finding.place.outside": "at the outside of the bend",
    "finding.place.inside": "at the inside of the bend",
    "finding.place.straight": "on the straights and at the sides of the bend",
    "finding.out-of-round": "For pressure, calipers decide after bending: across a bend "
    "the largest diameter less the smallest may be {most} at most ({share} of the nominal "
    "one).",
    "headline.od-die": "the tube is not the die's size",
    "headline.wall-die": "the wall is outside the die's range",
    "headline.negative-straight": "leg too short, bends overlap",
    "headline.straight-between": "too little straight between bends",
    "headline.straight-first": "too little straight at the flagged end",
    "headline.straight-last": "too little straight at the far end",
    "headline.mark-off-straight": "no mark can be given here",
    "headline.angle-travel": "past the bender's travel",
    "headline.stock": "longer than the stick",
    "headline.slip-on": "parts to slide on first",
    "headline.overbend-guess": "an estimate until measured",
    "headline.clash-self": "the tube meets itself",
    "headline.clash-bender": "the tube meets the bender",
    "headline.u-width": "no U of this width here",
    "headline.fit": "the far end misses its place",
    "headline.strain": "stretched past what the metal takes",
    "headline.radius-ratio": "a tight die, it may kink",
    "headline.hardness": "look at the tube's hardness",
    "headline.standard-range": "smaller than its standard covers",
    "headline.wall-after": "the wall after bending",
    "headline.pressure": "look at the wall for this pressure",
    "headline.out-of-round": "measure how round it stayed",
    "finding.other-way": ": bend in another order, hold the other end, or turn the tube "
    "end for end.",
}
