"""Findings: a sentence each (what, the value, the limit, what to do) and a headline."""

FINDINGS: dict[str, str] = {
    "finding.od-die": "Das Rohr hat {od}, die Scheibe ist für {die}: die zum Rohr passende "
    "Scheibe nehmen.",
    "finding.wall-die.unknown": "Das Profil nennt keine Wanddicke für diesen Werkstoff; hier sind "
    "es {wall}: erst an einem Reststück probieren.",
    "finding.wall-die": "Die Wand hat {wall}; diese Scheibe nimmt {least} bis {most} in "
    "{material}: anderes Rohr oder anderen Bieger nehmen.",
    "finding.negative-straight": "Der Schenkel ist {short} zu kurz, seine Biegungen "
    "überschneiden sich: mindestens so viel länger machen.",
    "finding.straight-between": "Die Gerade vor dieser Biegung ist {straight}; der Bieger braucht "
    "{need} zwischen Biegungen: Schenkel länger machen.",
    "finding.straight-first": "Die erste Gerade ist {straight}; {why} braucht es {need}: {remedy}.",
    "finding.straight-last": "Die letzte Gerade ist {straight}; {why} braucht es {need}: {remedy}.",
    "finding.need.held": "zum Halten",
    "finding.need.free": "auf der freien Seite",
    "finding.need.fitting": "für die Verschraubung",
    "finding.remedy.fitting": "Schenkel länger machen",
    "finding.remedy.cut": "länger machen oder Zugabe zum Abschneiden geben",
    "finding.mark-off-straight": "Keine Linie des Biegers passt hier, ihr Anriss läge auf "
    "gebogenem Rohr oder daneben: Reihenfolge, gehaltenes Ende oder Schenkel ändern.",
    "finding.angle-travel": "{angle} brauchen einen Zug auf {to}; der Bieger endet bei "
    "{travel}: weniger biegen oder anderen Bieger nehmen.",
    "finding.stock": "Die Leitung braucht {cut} Rohr; die Stange hat {stock}: längere "
    "Stange nehmen oder zwei Leitungen verbinden.",
    "finding.slip-on.start": "Vor dem Biegen aufschieben, am Ende mit Fähnchen: {parts}. Danach "
    "passen sie nicht mehr über die Biegung.",
    "finding.slip-on.finish": "Vor dem Biegen aufschieben, am anderen Ende: {parts}. Danach "
    "passen sie nicht mehr über die Biegung.",
    "finding.overbend-guess": "Das Überbiegen ist geschätzt ({over} ± {spread} bei "
    "{angle}), bis hier gemessen ist: erst knapp ziehen, dann messen.",
    "finding.clash-self.meets": "Dem Rohr fehlen {room} Platz, an {first} und {second}: "
    "dort einen Schenkel länger machen oder eine Biegung anders drehen.",
    "finding.clash-self.near": "Das Rohr geht mit nur {room} Abstand an sich selbst "
    "vorbei, an {first} und {second}: dort einen Schenkel länger machen oder eine Biegung "
    "anders drehen.",
    "finding.place.leg": "Schenkel {number}",
    "finding.place.bend": "Biegung {number}",
    "finding.clash-bender.free": "Bei {angle} stößt das Rohr auf der freien Seite an: "
    "{body}{otherwise}",
    "finding.clash-bender.held": "Bei {angle} stößt das Rohr auf der gehaltenen Seite an: "
    "{body}{otherwise}",
    "finding.clash-bender.near-free": "Bei {angle} bleiben dem Rohr auf der freien Seite nur "
    "{room} bis: {body}{otherwise}",
    "finding.clash-bender.near-held": "Bei {angle} bleiben dem Rohr auf der gehaltenen Seite nur "
    "{room} bis: {body}{otherwise}",
    "finding.u-width": "Ein U von {width} Breite geht hier nicht: eine Biegung ergibt "
    "{single}, zwei brauchen {least} oder mehr: Breite ändern oder andere Scheibe nehmen.",
    "finding.fit": "Das andere Ende liegt {miss} daneben, so gut korrigiert wie möglich; erlaubt "
    "sind {within}: vor dem Ablegen am Anschluss probieren.",
    "finding.strain": "Das Biegen dehnt die Außenseite um {strain}; {material} verträgt "
    "{elongation} und kann reißen: erst ein Reststück biegen, oder eine Scheibe mit "
    "mindestens {least} Radius.",
    "finding.radius-ratio": "Der Scheibenradius ist das {ratio}-fache des Rohrdurchmessers, unter "
    "2 kann das Rohr knicken oder flach werden: erst ein Reststück biegen, oder eine Scheibe mit "
    "mindestens {least} Radius.",
    "finding.hardness.or": " oder ",
    "finding.hardness.unknown": "Gerechnet ist nur geglühtes {material}, höchstens "
    "{limits}, und keine Härte ist angegeben: ins Zeugnis des Rohrs sehen.",
    "finding.hardness.scale": "Das Rohr hat {hardness} {scale}; die Grenze für {material} "
    "ist als {limits} bekannt: so messen lassen.",
    "finding.hardness": "Das Rohr hat {hardness} {scale}, mehr als die {most} {scale} von "
    "geglühtem {material}: es kann reißen; geglühtes Rohr nehmen.",
    "finding.standard-range": "Innen {bore}, Wand {wall}; ASTM A269 sichert unter {least_bore} "
    "innen oder {least_wall} Wand weder Festigkeit noch Härte zu: erst ein Reststück biegen.",
    "finding.wall-after.nominal": "Gebogen ist die Wand außen {outside} und innen {inside}, "
    "gerechnet mit dem Nennmaß {wall}: hier ist keine Norm bekannt, die Wand messen.",
    "finding.wall-after": "Gebogen ist die Wand außen {outside} und innen {inside}, gerechnet mit "
    "{thin}, dem Mindestmaß von {wall} ({under} darunter).",
    "finding.pressure.thick": "Bei {design} gilt das Rohr als dickwandig: nötig sind {need}, ein "
    "Sechstel des Durchmessers ist {sixth}; der Druck nimmt {share} der zulässigen Spannung, die "
    "Grenze ist {most_share}. ASME B31.3 verlangt besondere Prüfung: dem Ingenieur vorlegen.",
    "finding.pressure.design": "Der Auslegungsdruck ist {design}: bei Druck gilt die örtliche "
    "Vorschrift, eine befugte Person entscheidet.",
    "finding.pressure.left": "{design} brauchen {need} Wand {place} (ASME B31.3); {wall} bleiben. "
    "Das ist nur gerechnet; bei Druck gilt die örtliche Vorschrift, eine befugte Person "
    "entscheidet.",
    "finding.pressure": "{design} brauchen {need} Wand {place} (ASME B31.3); nur {wall} "
    "bleiben: eine Wand von mindestens {enough} nehmen, oder weniger Druck.",
    "finding.place.outside": "an der Außenseite der Biegung",
    "finding.place.inside": "an der Innenseite der Biegung",
    "finding.place.straight": "in den Geraden und seitlich der Biegung",
    "finding.out-of-round": "Bei Druck entscheidet nach dem Biegen der Messschieber: größter "
    "minus kleinster Durchmesser höchstens {most} ({share} vom Nennmaß).",
    "headline.od-die": "Rohr passt nicht zur Scheibe",
    "headline.wall-die": "Wand passt nicht zur Scheibe",
    "headline.negative-straight": "Schenkel zu kurz, Biegungen überschneiden sich",
    "headline.straight-between": "Gerade zwischen Biegungen zu kurz",
    "headline.straight-first": "Gerade am Ende mit Fähnchen zu kurz",
    "headline.straight-last": "Gerade am anderen Ende zu kurz",
    "headline.mark-off-straight": "hier kein Anriss möglich",
    "headline.angle-travel": "weiter als der Bieger reicht",
    "headline.stock": "länger als die Stange",
    "headline.slip-on": "Teile zuerst aufschieben",
    "headline.overbend-guess": "geschätzt, bis gemessen ist",
    "headline.clash-self": "Rohr stößt an sich selbst",
    "headline.clash-bender": "Rohr stößt am Bieger an",
    "headline.u-width": "kein U dieser Breite",
    "headline.fit": "das andere Ende liegt daneben",
    "headline.strain": "mehr Dehnung als das Metall verträgt",
    "headline.radius-ratio": "enge Scheibe, es kann knicken",
    "headline.hardness": "Härte des Rohrs ansehen",
    "headline.standard-range": "kleiner als die Norm reicht",
    "headline.wall-after": "die Wand nach dem Biegen",
    "headline.pressure": "Wand für diesen Druck ansehen",
    "headline.out-of-round": "messen, wie rund es blieb",
    "finding.other-way": ". Andere Reihenfolge, anderes Ende halten oder Rohrenden tauschen.",
}
