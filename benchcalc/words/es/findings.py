"""Findings: a sentence each (what, the value, the limit, what to do) and a headline."""

FINDINGS: dict[str, str] = {
    "finding.od-die": "El tubo es de {od}, la horma de {die}: toma la horma del tubo.",
    "finding.wall-die.unknown": "El perfil no da paredes para este material; la tuya es {wall}: "
    "prueba antes en un recorte.",
    "finding.wall-die": "La pared es {wall}; esta horma admite de {least} a {most} en "
    "{material}: toma otro tubo u otra curvadora.",
    "finding.negative-straight": "Al tramo le faltan {short}, sus curvas se montan: "
    "alárgalo al menos eso.",
    "finding.straight-between": "La recta antes de esta curva mide {straight}; la curvadora "
    "necesita {need} entre curvas: alarga el tramo.",
    "finding.straight-first": "La primera recta mide {straight}; hacen falta {need} {why}: "
    "{remedy}.",
    "finding.straight-last": "La última recta mide {straight}; hacen falta {need} {why}: {remedy}.",
    "finding.need.held": "para sujetarlo",
    "finding.need.free": "en el lado libre",
    "finding.need.fitting": "para el racor",
    "finding.remedy.fitting": "alarga el tramo",
    "finding.remedy.cut": "alárgalo o deja sobrante para cortar",
    "finding.mark-off-straight": "Ninguna línea de la curvadora sirve aquí, su marca "
    "caería en tubo curvado o fuera: cambia el orden, el extremo sujeto o el tramo.",
    "finding.angle-travel": "{angle} exige tirar hasta {to}; la curvadora termina en {travel}: "
    "curva menos o toma otra curvadora.",
    "finding.stock": "La tubería necesita {cut} de tubo; la barra es de {stock}: toma una barra "
    "más larga o une dos tuberías.",
    "finding.slip-on.start": "Mete antes de curvar, por el extremo con bandera: {parts}. "
    "Después no pasan.",
    "finding.slip-on.finish": "Mete antes de curvar, por el otro extremo: {parts}. Después "
    "no pasan.",
    "finding.overbend-guess": "El sobrecurvado es estimado ({over} ± {spread} a {angle}) hasta "
    "que este banco mida: tira corto primero y mide.",
    "finding.clash-self.meets": "Al tubo le faltan {room} de espacio, en {first} y "
    "{second}: alarga ahí un tramo o gira una curva de otro modo.",
    "finding.clash-self.near": "El tubo pasa a solo {room} de sí mismo, en {first} y "
    "{second}: alarga ahí un tramo o gira una curva de otro modo.",
    "finding.place.leg": "tramo {number}",
    "finding.place.bend": "curva {number}",
    "finding.clash-bender.free": "A {angle} el tubo del lado libre choca con: {body}{otherwise}",
    "finding.clash-bender.held": "A {angle} el tubo del lado sujeto queda dentro de: "
    "{body}{otherwise}",
    "finding.clash-bender.near-free": "A {angle} el tubo del lado libre queda a {room} de: "
    "{body}{otherwise}",
    "finding.clash-bender.near-held": "A {angle} el tubo del lado sujeto queda a {room} "
    "de: {body}{otherwise}",
    "finding.u-width": "Aquí no sale una U de {width}: una curva da {single}, dos "
    "necesitan {least} o más: cambia el ancho o toma otra horma.",
    "finding.fit": "El otro extremo fallará por {miss}, corregido lo mejor posible; se admiten "
    "{within}: pruébalo en su toma antes de guardarlo.",
    "finding.strain": "Curvar estira el exterior un {strain}; {material} admite {elongation} y "
    "puede rasgarse: curva antes un recorte, o toma una horma de al menos {least} de radio.",
    "finding.radius-ratio": "El radio de la horma es {ratio} veces el diámetro; con menos de 2 el "
    "tubo puede plegarse o aplastarse: curva antes un recorte, o toma una horma de al menos "
    "{least} de radio.",
    "finding.hardness.or": " o ",
    "finding.hardness.unknown": "Aquí solo se calcula {material} recocido, {limits} como "
    "máximo, y no se indica dureza: mira el certificado del tubo.",
    "finding.hardness.scale": "El tubo tiene {hardness} {scale}; el límite de {material} "
    "se conoce como {limits}: hazlo medir así.",
    "finding.hardness": "El tubo tiene {hardness} {scale}, más de los {most} {scale} de "
    "{material} recocido: puede agrietarse; toma tubo recocido.",
    "finding.standard-range": "El interior es {bore}, la pared {wall}; ASTM A269 no asegura "
    "resistencia ni dureza por debajo de {least_bore} de interior o {least_wall} de pared: curva "
    "antes un recorte.",
    "finding.wall-after.nominal": "Curvada, la pared es {outside} por fuera y {inside} por "
    "dentro, calculada con la nominal {wall}: aquí no se conoce norma, mide la pared.",
    "finding.wall-after": "Curvada, la pared es {outside} por fuera y {inside} por dentro, "
    "calculada con {thin}, lo menos que puede ser {wall} ({under} menos).",
    "finding.pressure.thick": "A {design} esto es pared gruesa: los {need} necesarios se "
    "comparan con un sexto del diámetro, {sixth}, y la presión toma {share} de la tensión "
    "admisible, donde el límite es {most_share}. ASME B31.3 pide un estudio especial: "
    "consúltalo con el ingeniero.",
    "finding.pressure.design": "La presión de diseño es {design}: en trabajos a presión mandan la "
    "norma local y una persona autorizada.",
    "finding.pressure.left": "{design} necesita {need} de pared {place} (ASME B31.3); quedan "
    "{wall}. Eso es solo un cálculo; en trabajos a presión mandan la norma local y una persona "
    "autorizada.",
    "finding.pressure": "{design} necesita {need} de pared {place} (ASME B31.3); solo "
    "quedan {wall}: toma una pared de al menos {enough}, o menos presión.",
    "finding.place.outside": "por fuera de la curva",
    "finding.place.inside": "por dentro de la curva",
    "finding.place.straight": "en las rectas y a los lados de la curva",
    "finding.out-of-round": "A presión decide el calibre tras curvar: el diámetro mayor menos el "
    "menor puede ser {most} como máximo ({share} del nominal).",
    "headline.od-die": "el tubo no es el de la horma",
    "headline.wall-die": "pared fuera de lo que admite la horma",
    "headline.negative-straight": "tramo corto, las curvas se montan",
    "headline.straight-between": "poca recta entre curvas",
    "headline.straight-first": "poca recta en el extremo con bandera",
    "headline.straight-last": "poca recta en el otro extremo",
    "headline.mark-off-straight": "aquí no hay marca posible",
    "headline.angle-travel": "más de lo que da la curvadora",
    "headline.stock": "más larga que la barra",
    "headline.slip-on": "meter antes las piezas",
    "headline.overbend-guess": "estimado hasta que se mida",
    "headline.clash-self": "el tubo choca consigo mismo",
    "headline.clash-bender": "el tubo choca con la curvadora",
    "headline.u-width": "no sale una U de este ancho",
    "headline.fit": "el otro extremo no coincide",
    "headline.strain": "más alargado de lo que admite el metal",
    "headline.radius-ratio": "horma cerrada, puede plegarse",
    "headline.hardness": "mira la dureza del tubo",
    "headline.standard-range": "menor de lo que cubre su norma",
    "headline.wall-after": "la pared tras curvar",
    "headline.pressure": "mira la pared para esta presión",
    "headline.out-of-round": "mide cuán redondo quedó",
    "finding.other-way": ". Cambia el orden, sujeta el otro extremo o invierte el tubo.",
}
