"""Help: what every screen, step and field is for, and what goes wrong there."""

HELP: dict[str, str] = {
    "help.title": "Para qué sirve",
    "help.mistakes": "En qué fijarse",
    "help.page": "{page} de {pages}",
    "help.before": "anterior",
    "help.close": "cerrar",
    "help.next": "siguiente",
    "help.word.held": "sujeto",
    "help.word.mark": "marca",
    "help.signs.for": "Del plano al tubo curvado. La bandera es el extremo desde el que mides.",
    "help.signs.first": "Medir desde el extremo sin bandera: todas las marcas fallan por igual.",
    "help.signs.second": "Mirar desde el otro extremo: derecha e izquierda quedan cambiadas.",
}
