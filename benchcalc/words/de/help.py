"""Help on the bench, the run as it is planned, and shapes."""

HELP: dict[str, str] = {
    "help.title": "Wozu das dient",
    "help.mistakes": "Worauf zu achten ist",
    "help.page": "{page} von {pages}",
    "help.before": "zurück",
    "help.close": "schließen",
    "help.next": "weiter",
    "help.word.held": "gehalten",
    "help.word.mark": "Anriss",
    "help.word.line": "Linie",
    "help.word.radius": "Radius",
    "help.word.cut": "Zuschnitt",
    "help.word.heel": "Rücken",
    "help.word.throat": "Kehle",
    "help.word.target": "Soll",
    "help.word.pull": "ziehen auf",
    "help.word.wall": "Wand",
    "help.word.outside": "außen",
    "help.word.lot": "Charge H4-7",
    "help.word.largest": "größter",
    "help.word.smallest": "kleinster",
    "help.mind.ends": "Schnittkanten sind scharf: Handschuhe an, bis entgratet ist.",
    "help.mind.swing": "Der freie Schenkel schwenkt: Gesicht und Hände aus dem Schwenkbereich.",
    "help.mind.springs": "Hebel langsam zurückführen: das Rohr drückt ihn.",
    "help.mind.kinked": "Ein geknicktes oder flaches Rohr darf nie unter Druck.",
    "help.bench.for": "Von der Zeichnung zum gebogenen Rohr. Zuerst: was auf der Werkbank liegt, "
    "Bieger, Rohr, Werkstoff, Charge.",
    "help.bench.first": "Andere Scheibe als gewählt: ihr Radius ist anders, jeder Anriss liegt "
    "daneben. Stempel lesen.",
    "help.bench.second": "Neue Charge unter altem Namen: Biegungen federn anders zurück als "
    "gesagt.",
    "help.pick-bender.for": "Der Bieger gibt den Radius der Scheibe und die Linien, auf die ein "
    "Anriss muss.",
    "help.pick-bender.first": "8-mm-Rohr in einer 5/16-Zoll-Scheibe: es passt hinein und wird "
    "flach. Rohr messen.",
    "help.pick-bender.second": "Linien, die niemand erprobt hat: erst ein Reststück biegen, unter "
    "Probebiegen eintippen.",
    "help.pick-material.for": "Wie weit der Werkstoff sich dehnt und zurückfedert. Der Rücken "
    "wird gedehnt, die Kehle gestaucht.",
    "help.pick-material.first": "Hartes Rohr für weiches gehalten: es reißt am Rücken oder "
    "knickt. Zeugnis lesen.",
    "help.pick-material.second": "Ein fast gleicher Stahl gewählt: er federt anders zurück.",
    "help.pick-tape.for": "Anrisse werden so gesagt, wie das Maßband sie zeigt: nächster Strich, "
    "und was übrig bleibt.",
    "help.pick-tape.first": "Ausgeleierter Haken am Maßband: bei 100 mm anlegen und 100 abziehen.",
    "help.pick-tape.second": "Zweiunddreißigstel für Sechzehntel gelesen: die Striche eines Zolls "
    "zählen.",
    "help.write-od.for": "Das Rohr außen quer gemessen. Es muss das Maß der Scheibe sein.",
    "help.write-od.first": "Nennmaß eingetippt: 6 ist nicht 6,35. Rohr messen.",
    "help.write-od.second": "Über Grat oder ovales Ende gemessen: eine Handbreit weiter innen, "
    "zweimal über Kreuz.",
    "help.write-wall.for": "Wie dick die Wand ist. Rückfederung, Abflachen, Druck hängen davon ab.",
    "help.write-wall.first": "Mit Grat gemessen: das zeigt zu viel. Erst entgraten.",
    "help.write-wall.second": "Außen weniger innen sind zwei Wände: die Hälfte ist eine.",
    "help.write-lot.for": "Die Charge steht auf dem Rohr. Was ihre Biegungen lehren, gilt zuerst "
    "für sie.",
    "help.write-lot.first": "Nummer vom Karton eingetippt: die auf dem Rohr lesen.",
    "help.write-lot.second": "Stehen gelassen bei einem neuen Bund: die ersten Biegungen liegen "
    "daneben.",
    "help.write-pieces.for": "Wie viele gleiche. Sie werden gezählt, und jedes lehrt das nächste.",
    "help.write-pieces.first": "Alle abgelängt, bevor das erste geprüft ist: eins machen, an den "
    "Anschlüssen prüfen.",
    "help.write-pieces.second": "Links und rechts als gleich gezählt: ein Spiegelbild ist eine "
    "eigene Leitung.",
    "help.write-name.for": "Wie die Leitung hier heißt, auf ihrem Blatt und im Protokoll.",
    "help.write-name.first": "Zwei Leitungen mit einem Namen: später nicht zu unterscheiden. Den "
    "Ort dazuschreiben.",
    "help.write-name.second": "Der alte Name nach geänderter Zeichnung: ihren Stand dazuschreiben.",
    "help.plan-leg.for": "Ein Schenkel geht von Ecke zu Ecke, wo die Mittellinien sich kreuzen. "
    "Der letzte endet am Rohrende.",
    "help.plan-leg.first": "Bis zum Beginn der Biegung gemessen: zu kurz. Ein Lineal an beide "
    "Schenkel legen.",
    "help.plan-leg.second": "Außen am Rohr gemessen: an jeder 90°-Biegung ein halbes Rohr zu viel.",
    "help.plan-bend.for": "Wie weit das Rohr von geradeaus abbiegt: 0 gerade, 90 rechtwinklig, "
    "180 zurück.",
    "help.plan-bend.first": "Winkel zwischen den Schenkeln eingetippt: eine leichte Biegung von "
    "30 ist dort 150.",
    "help.plan-bend.second": "Ein U bis zur Ecke gemessen: ab 150° geht der Schenkel zum "
    "Scheitel, dem fernsten Punkt.",
    "help.plan-turn.for": "Wie weit diese Biegung aus der Ebene der vorigen geht: im "
    "Uhrzeigersinn, vom Fähnchen aus am Rohr entlang gesehen.",
    "help.plan-turn.first": "Vom anderen Ende gesehen: der Drehsinn kehrt sich um. Ans Fähnchen "
    "stellen.",
    "help.plan-turn.second": "0 für einen Versatz: dort geht die zweite Biegung zurück, das ist "
    "180.",
    "help.plan-turn.third": "Für die Drehung der Hände gehalten: die ist andersherum und wird am "
    "Bieger gesagt.",
    "help.plan-shape.for": "Diese Biegungen sind eine Form. Ihre eigenen Maße ändern alle "
    "zusammen.",
    "help.plan-shape.first": "Zu früh in Schenkel gelöst: dann lässt sich die Höhe nicht mehr auf "
    "einmal ändern.",
    "help.plan-shape.second": "Schenkel geändert, Hindernis vergessen: die Form rückt mit. Das "
    "Bild ansehen.",
    "help.shape.for": "Eine Form nach Namen: Maße eintippen, Schenkel, Biegungen und Drehungen "
    "werden berechnet.",
    "help.shape.first": "Versatz genommen, wo das Rohr auch seitlich geht: das ist ein schräger "
    "Versatz.",
    "help.shape.second": "Drei Biegungen über etwas Breites: den Überbogen mit vier nehmen, oben "
    "gerade.",
    "help.shape-offset.for": "Zwei gleiche Biegungen versetzen das Rohr. Höhe von Mittellinie zu "
    "Mittellinie.",
    "help.shape-offset.first": "Den Spalt als Höhe eingetippt: von Mitte zu Mitte ist es ein Rohr "
    "mehr.",
    "help.shape-offset.second": "Steil und niedrig: die Biegungen laufen ineinander. Flacheren "
    "Winkel nehmen.",
    "help.shape-rolling-offset.for": "Eine Schräge führt das Rohr hoch und zur Seite. Höhe und "
    "Seitenmaß stehen rechtwinklig.",
    "help.shape-rolling-offset.first": "Seitenmaß zur falschen Seite: es geht im Uhrzeigersinn "
    "von der Höhe, am Rohr entlang gesehen. Sonst mit Minus.",
    "help.shape-rolling-offset.second": "Die Schräge selbst als Höhe eingetippt: die zwei "
    "rechtwinkligen Maße eintippen.",
    "help.shape-saddle.for": "Drei Biegungen über ein Hindernis. Höhe ist die der Mittellinie am "
    "Scheitel.",
    "help.shape-saddle.first": "Nur die Höhe des Hindernisses eingetippt: halbes Rohr und Spalt "
    "kommen dazu.",
    "help.shape-saddle.second": "Winkel der äußeren Biegungen eingetippt: gemeint ist die "
    "mittlere, außen je die Hälfte.",
    "help.shape-flat-saddle.for": "Vier gleiche Biegungen über etwas Breites. Gerade oben ist das "
    "gerade Stück.",
    "help.shape-flat-saddle.first": "Nur die Höhe des Hindernisses eingetippt: halbes Rohr und "
    "Spalt kommen dazu.",
    "help.shape-flat-saddle.second": "Bis zur vorderen Kante gemessen: es geht bis zur Mitte des "
    "geraden Stücks.",
    "help.shape-u.for": "Das Rohr läuft neben sich zurück. Breite von Mittellinie zu Mittellinie.",
    "help.shape-u.first": "Breite außen über beide eingetippt: das ist ein Rohr zu viel.",
    "help.shape-u.second": "Enger als die Scheibe: unter zweimal ihrem Radius gibt es kein U.",
    "help.shape-parallel.for": "Ein zweites Rohr neben dieser Leitung, auf allen Geraden gleich "
    "weit.",
    "help.shape-parallel.first": "Den Spalt als Abstand eingetippt: von Mitte zu Mitte ist es ein "
    "Rohr mehr.",
    "help.shape-parallel.second": "Gleicher Spalt in den Biegungen erwartet: eine Scheibe biegt "
    "beide gleich, er ändert sich.",
    "help.shape-port.for": "Der letzte Schenkel läuft in den Anschluss: wo er liegt, und wie das "
    "Rohr hineingeht.",
    "help.shape-port.first": "Bis zur Stirn der Verschraubung gemessen: das Rohr geht weiter "
    "hinein. Angeben, wo es ansteht.",
    "help.shape-port.second": "Richtung verkehrt herum: sie zeigt, wie das Rohr läuft, in den "
    "Anschluss hinein.",
    "help.shape-ports.for": "Zwei Anschlüsse: wo jeder liegt, und wie das Rohr dort läuft. Die "
    "Leitungen werden gesucht.",
    "help.shape-ports.first": "Beide von verschiedenen Stellen gemessen: eine Ecke des Gestells "
    "für beide nehmen.",
    "help.shape-ports.second": "Beide Richtungen heraus: das Rohr läuft aus dem ersten heraus, in "
    "den letzten hinein.",
    "help.shape-ways.for": "Mehrere Leitungen führen hin, die mit wenig Biegungen und wenig Rohr "
    "zuerst. Eine wählen.",
    "help.shape-ways.first": "Nur aufs Rohr geschaut: wo das Ende weniger danebenliegt, passt es "
    "leichter.",
    "help.shape-ways.second": "Wenig Luft übersehen: dort berührt das Rohr sich fast selbst.",
    "help.minds.for": "Alles, was vor dem ersten Schnitt über diese Leitung zu wissen ist.",
    "help.minds.first": "HALT als Rat genommen: so geht es nicht oder ist verboten. Leitung "
    "ändern.",
    "help.minds.second": "VORSICHT weggetippt: ein Mensch muss entscheiden, also du. Die Zahlen "
    "lesen.",
    "help.clash.for": "Wo das Rohr an sich selbst, an Bieger oder Werkbank stößt; und eine Folge, "
    "bei der es frei geht.",
    "help.clash.first": "Doch in alter Folge gebogen: die Biegungen nehmen, wie sie gesagt werden.",
    "help.clash.second": "Ein Schraubstock oder eine Wand, die das Profil des Biegers nicht "
    "kennt: davor warnt niemand.",
}
