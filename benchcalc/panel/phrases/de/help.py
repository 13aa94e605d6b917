"""Help: what every screen, step and field is for, and what goes wrong there."""

HELP: dict[str, str] = {
    "help.title": "Wozu das dient",
    "help.mistakes": "Worauf zu achten ist",
    "help.page": "{page} von {pages}",
    "help.before": "vorige",
    "help.close": "schließen",
    "help.next": "nächste",
    "help.word.held": "gehalten",
    "help.word.mark": "Anriss",
    "help.signs.for": "Vom Maß auf der Zeichnung zum gebogenen Rohr. Das Fähnchen ist das Ende, "
    "von dem gemessen wird.",
    "help.signs.first": "Vom Ende ohne Fähnchen gemessen: alle Anrisse sind gleich weit daneben.",
    "help.signs.second": "Vom falschen Ende geschaut: rechts und links sind vertauscht.",
}
