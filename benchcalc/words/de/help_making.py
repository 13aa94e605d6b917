"""Help while a piece is made, and on the panel itself."""

HELP_MAKING: dict[str, str] = {
    "help.make-cut.for": "Das gerade Rohr: alle Schenkel, weniger was die Biegungen sparen, mit "
    "dem, was die Enden brauchen.",
    "help.make-cut.first": "Neben dem Strich geschnitten: was hier fehlt, fehlt am letzten "
    "Schenkel.",
    "help.make-cut.second": "Fähnchen später umgesteckt: dann liegt jeder Anriss falsch. "
    "Dranlassen.",
    "help.make-slide.for": "Was über keine Biegung geht, kommt jetzt drauf: Muttern, Hülsen, "
    "Schellen.",
    "help.make-slide.first": "Mutter verkehrt herum: ihr Gewinde zeigt zum Rohrende.",
    "help.make-slide.second": "Eins vergessen: nach der Biegung geht es nie mehr drauf. "
    "Nachzählen.",
    "help.make-mark.for": "Der Anriss kommt auf die Linie des Biegers. Jeder wird vom Fähnchen "
    "aus gemessen.",
    "help.make-mark.first": "Vom vorigen Anriss gemessen: Fehler summieren sich. Band jedes Mal "
    "ans Fähnchen.",
    "help.make-mark.second": "Dicker Strich: keiner weiß, welche Kante gilt. Dünn, und ringsum.",
    "help.make-re-mark.for": "Die Korrektur verschiebt diesen Anriss. Der neue zählt vom alten "
    "und vom letzten Rücken.",
    "help.make-re-mark.first": "Verkehrt herum verschoben: erst das Fähnchen suchen, dann aufs "
    "Bild sehen.",
    "help.make-re-mark.second": "Alter Anriss noch da: durchstreichen, sonst beginnt die Biegung "
    "dort.",
    "help.make-turn.for": "Das Rohr wird in der Klinke gedreht, damit die nächste Biegung in ihre "
    "Richtung geht. Blick von der Klinke am Rohr entlang.",
    "help.make-turn.first": "Verkehrt herum gedreht: die Leitung wird zum Spiegelbild. Rücken und "
    "vollen Punkt vergleichen.",
    "help.make-turn.second": "Beim Drehen verrutscht: nachsehen, ob der Anriss noch auf der Linie "
    "liegt.",
    "help.make-seat.for": "Der Anriss liegt auf der genannten Linie. Klinke zu, Hebel am Rohr, "
    "Skala auf null.",
    "help.make-seat.first": "Die Linie daneben getroffen: auf den Namen sehen, nicht auf den "
    "Platz.",
    "help.make-seat.second": "Rohr verkehrt eingelegt: Fähnchen gehalten oder frei, wie gesagt.",
    "help.make-seat.third": "Nicht auf null gestellt: um das, was die Skala dann zeigt, liegt "
    "jeder Zug daneben.",
    "help.make-pull.for": "Ziehen bis zum langen Strich. Losgelassen federt es zum kurzen hin "
    "zurück, dem Soll.",
    "help.make-pull.first": "Mit Schwung darüber: zu weit bleibt zu weit. Die letzten Grad "
    "langsam.",
    "help.make-pull.second": "Beim Soll aufgehört: es federt zurück und ist zu wenig. Bis zum "
    "Zugwert ziehen.",
    "help.make-pull.third": "Skala schräg abgelesen: gerade darauf schauen.",
    "help.make-again.for": "Es federte zu weit zurück. Einlegen wie zuvor und über den letzten "
    "Wert ziehen, auf den neuen.",
    "help.make-again.first": "Nur bis zum Soll gezogen: es gibt nach und federt zurück, nichts "
    "ist anders.",
    "help.make-again.second": "Etwas daneben eingelegt: die Biegung beginnt zweimal. Anriss "
    "wieder auf die Linie.",
    "help.make-check.for": "Der Winkel, der ohne Hebel bleibt. Er sagt: gut, weiterziehen, oder "
    "zu weit.",
    "help.make-check.first": "Hebel noch dran: das misst den Zug, nicht die Biegung.",
    "help.make-check.second": "Winkel zwischen den Schenkeln eingetippt: gefragt ist, wie weit es "
    "von gerade abbiegt.",
    "help.make-check.third": "Winkelmesser in der Biegung: beidseits auf gerades Rohr legen.",
    "help.make-over.for": "Die Biegung liegt über der Toleranz. Behalten und den Rest "
    "korrigieren, oder Ausschuss.",
    "help.make-over.first": "Etwas zurückgebogen: dort wird es flach und reißt. Nie.",
    "help.make-over.second": "Auf gut Glück behalten: der Fehler am anderen Ende wird gesagt, den "
    "ansehen.",
    "help.make-correct.for": "Eine Biegung liegt daneben. Was noch kommt, wird so geändert, dass "
    "das Ende ankommt.",
    "help.make-correct.first": "Alte Anrisse weiter benutzt: durchstreichen, die neuen werden von "
    "ihnen aus gesagt.",
    "help.make-correct.second": "Ungelesen übernommen: ansehen, was bleibt; auch das Beste kann "
    "zu viel sein.",
    "help.make-scrap.for": "Das Stück wird aufgegeben, und warum. Der Grund zeigt, wo Rohr "
    "verloren geht.",
    "help.make-scrap.first": "Irgendein Grund aus Eile: das Protokoll verschweigt dann den Fehler.",
    "help.make-scrap.second": "Zu den guten gelegt: kennzeichnen und durchsägen.",
    "help.make-store.for": "Alle Biegungen sind gemacht. An beiden Anschlüssen prüfen, dann "
    "ablegen.",
    "help.make-store.first": "Mit Gewalt eingesetzt: es muss von selbst liegen, beide Muttern von "
    "Hand drehbar.",
    "help.make-store.second": "Das nächste abgelängt, bevor dies geprüft ist: erst sagen, wo es "
    "danebenlag.",
    "help.make-calipers.for": "Wie rund die Biegung blieb: größter und kleinster Durchmesser in "
    "ihrer Mitte.",
    "help.make-calipers.first": "Nur an einer Stelle gemessen: den Messschieber ums Rohr drehen.",
    "help.make-calipers.second": "Neben der Biegung gemessen: in der Mitte ist sie am flachsten.",
    "help.make-port.for": "Wo das letzte Stück den Anschluss verfehlte. Am Rohr entlang zum "
    "Anschluss sehen, letzter Rücken unten.",
    "help.make-port.first": "Vom Anschluss her gesehen: links und rechts vertauscht. So schauen, "
    "wie das Rohr hineingeht.",
    "help.make-port.second": "Unter Zwang gemessen: frei hängen lassen.",
    "help.make-aim.for": "Die nächsten Stücke werden um den Fehler des letzten geändert. So "
    "passen sie.",
    "help.make-aim.first": "Linien oder Radius nach einem Stück geändert: ein zweites abwarten, "
    "das dasselbe zeigt.",
    "help.make-aim.second": "Ein verschobener Halter: erst die Anschlüsse nachmessen, dann Stücke "
    "ändern.",
    "help.kept.for": "Die Stücke sind gemacht und im Protokoll, mit allen Messwerten.",
    "help.kept.first": "Späne noch drin: ausblasen, bevor eine Verschraubung drankommt.",
    "help.kept.second": "Zu anderen gelegt: jetzt den Namen anbinden.",
    "help.learnt.for": "Jede gemessene Biegung lehrt, wie weit das Rohr zurückfedert. Im Band "
    "landet die nächste.",
    "help.learnt.first": "Eine Biegung, die in der Klinke rutschte, zählt mit: nicht zählen "
    "lassen.",
    "help.learnt.second": "Die ganze Charge neu begonnen wegen einer Biegung: nur diese eine "
    "streichen.",
    "help.trial.for": "Eine Biegung im Reststück: Zuschnitt, beide Schenkel bis zur Ecke und "
    "Winkel geben den wahren Radius.",
    "help.trial.first": "Schenkel außen gemessen: bei 90° ein halbes Rohr zu viel. Abziehen.",
    "help.trial.second": "Nur eine Biegung: je ein halber Millimeter macht über einen im Radius. "
    "Drei biegen.",
    "help.trial-u.for": "Ein U gibt den Radius am besten: halbe Breite außen, weniger ein halbes "
    "Rohr.",
    "help.trial-u.first": "Gemessen, wo die Schenkel auseinandergehen: nah an der Biegung, quer "
    "zu beiden.",
    "help.trial-u.second": "Kein ganzes U: unter 180° ist die Breite zu groß.",
    "help.copy.for": "Das Protokoll kommt auf einen Stick und wird dort nachgelesen. Hier bleibt "
    "es auch.",
    "help.copy.first": "Stick zu früh gezogen: warten, bis das Herausnehmen gesagt wird.",
    "help.copy.second": 'Nur das Neue auf einen leeren Stick: für das ganze Protokoll "alle" '
    "wählen.",
    "help.settings.for": "Wie das Gerät eingestellt ist: Sprache, Farben, Tastenseite, "
    "Bildschirmgröße. Kein Stück ändert sich.",
    "help.settings.first": "Einheit umgestellt, um einen Auftrag zu ändern: sie gilt für den "
    "nächsten neuen.",
    "help.settings.second": "Bildschirm nie gemessen: Tasten und der Winkel zum Anhalten haben "
    "nur eine angenommene Größe.",
    "help.ruler.for": "Zwei Balken, verschoben, bis das Lineal dazwischen das Gesagte zeigt. "
    "Dann stimmen die Millimeter.",
    "help.ruler.first": "Schräg abgelesen: Lineal flach aufs Glas, Auge senkrecht darüber.",
    "help.ruler.second": "Balken stehen gelassen: schieben, bis das Lineal es zeigt.",
    "help.gauge.for": "Die Biegung im wahren Winkel. Rohr aufs Glas, ein Schenkel zwischen die "
    "Linien, den anderen ansehen.",
    "help.gauge.first": "Vor dem Glas gehalten: der Winkel täuscht. Auflegen.",
    "help.gauge.second": "Hebel noch dran: erst loslassen, das Rohr muss ruhen.",
    "help.machine.for": "Was diesem Gerät fehlt, und was zu tun ist. Die Arbeit bleibt.",
    "help.machine.first": "Unterspannung hingenommen: ein schwaches Netzteil kann das Gerät "
    "jederzeit anhalten.",
    "help.machine.second": "Uhr nicht gestellt: die Reihenfolge im Protokoll stimmt, die Zeiten "
    "nicht.",
    "help.widths.for": "Wie weit Anrisse, Winkel und Drehungen dieser Werkbank danebenliegen "
    "können. Ring und Korrekturen richten sich danach.",
    "help.widths.first": "Aus Stolz zu eng: Leitungen scheinen zu passen und verfehlen den "
    "Anschluss.",
    "help.widths.second": "Aus Vorsicht zu weit: jede Leitung scheint zweifelhaft. Nehmen, was "
    "gemessene Stücke zeigen.",
    "help.piece.for": "Ein Stück aus dem Protokoll, wie es gemacht wurde. Was später auffiel, "
    "kommt dazu.",
    "help.piece.first": "Ein anderes Stück derselben Leitung gelesen: die Nummer am Anhänger "
    "vergleichen.",
    "help.piece.second": "Die Anmerkung auf morgen verschoben: schreiben, solange du das Stück in "
    "der Hand hast.",
    "help.write-remark.for": "Was am fertigen Stück auffiel, und wem. Der Eintrag selbst bleibt, "
    "wie er ist.",
    "help.write-remark.first": "Nur dass es schlecht ist: schreiben, wo, wie viel, und was getan "
    "wurde.",
    "help.write-remark.second": "Kein Name: niemand weiß, wen er fragen soll. Deinen ans Ende "
    "setzen.",
    "help.make-port-ahead.for": "Längs des Rohrs: blieb das Ende vor seinem Platz, oder ging es "
    "darüber hinaus?",
    "help.make-port-ahead.first": "Bis zur Mutter oder Stirn gemessen: bis zum Rohrende selbst "
    "messen.",
    "help.make-port-ahead.second": "Zu kurz als zu weit getippt: schauen, wohin der Pfeil im Bild "
    "zeigt.",
    "help.make-port-tilt.for": "Um wie viel Grad das Ende schief zeigt: aufwärts oder abwärts, "
    "dann rechts oder links, letzter Rücken unten.",
    "help.make-port-tilt.first": "Nach der Mutter beurteilt: ein Lineal ans Rohr legen.",
    "help.make-port-tilt.second": "Ein Grad für nichts gehalten: auf 300 mm sind es 5 mm.",
}
