"""Help: what every screen, step and field is for, and what goes wrong there."""

HELP: dict[str, str] = {
    "help.title": "What this is for",
    "help.mistakes": "What to mind",
    "help.page": "{page} of {pages}",
    "help.before": "before",
    "help.close": "close",
    "help.next": "next",
    "help.word.held": "held",
    "help.word.mark": "mark",
    "help.signs.for": "The panel leads you from a drawing to a bent tube. The flag is the end that "
    "you measure from.",
    "help.signs.first": "Measuring from the end without a flag: every mark is off by the same.",
    "help.signs.second": "Looking at the tube from the wrong end: left and right change places.",
}
