"""Help on the bench, the run as it is planned, and shapes."""

HELP: dict[str, str] = {
    "help.title": "Para qué sirve",
    "help.mistakes": "En qué fijarse",
    "help.page": "{page} de {pages}",
    "help.before": "atrás",
    "help.close": "cerrar",
    "help.next": "seguir",
    "help.word.held": "sujeto",
    "help.word.mark": "marca",
    "help.word.line": "línea",
    "help.word.radius": "radio",
    "help.word.cut": "corte",
    "help.word.heel": "lomo",
    "help.word.throat": "garganta",
    "help.word.target": "objetivo",
    "help.word.pull": "tirar a",
    "help.word.wall": "pared",
    "help.word.outside": "exterior",
    "help.word.lot": "lote H4-7",
    "help.word.largest": "mayor",
    "help.word.smallest": "menor",
    "help.mind.ends": "Los bordes cortan: guantes hasta desbarbar.",
    "help.mind.swing": "El tramo libre barre: cara y manos fuera de su paso.",
    "help.mind.springs": "Suelta la palanca despacio: el tubo la empuja.",
    "help.mind.kinked": "Un tubo plegado o aplastado nunca debe llevar presión.",
    "help.bench.for": "Del plano al tubo curvado. Primero di qué hay en el banco: curvadora, "
    "tubo, metal y lote.",
    "help.bench.first": "Otra horma que la elegida: tiene otro radio y cada marca falla. Lee su "
    "grabado.",
    "help.bench.second": "Lote nuevo con el nombre del viejo: las curvas retornan de otro modo "
    "que lo dicho.",
    "help.pick-bender.for": "La curvadora da el radio de la horma y las líneas donde va una marca.",
    "help.pick-bender.first": "Tubo de 8 mm en horma de 5/16: entra, pero sale aplastado. Mide el "
    "tubo.",
    "help.pick-bender.second": "Líneas que nadie probó: curva antes un recorte y anótalo en "
    "curvas de prueba.",
    "help.pick-material.for": "Cuánto se estira y cuánto retorna el metal. El lomo se estira, la "
    "garganta se comprime.",
    "help.pick-material.first": "Tubo duro tomado por recocido: se agrieta en el lomo o se "
    "pliega. Lee el certificado.",
    "help.pick-material.second": "Un acero casi igual: retorna de otro modo.",
    "help.pick-tape.for": "Las marcas se dicen como en tu cinta: la raya más cercana y lo que "
    "sobra.",
    "help.pick-tape.first": "Gancho de la cinta gastado: empieza en la raya de 100 mm y resta 100.",
    "help.pick-tape.second": "Treintaidosavos leídos como dieciseisavos: cuenta las rayas de una "
    "pulgada.",
    "help.write-od.for": "El tubo medido por fuera, de lado a lado. Debe ser la medida de la "
    "horma.",
    "help.write-od.first": "Medida nominal: 6 no es 6,35. Mide el tubo.",
    "help.write-od.second": "Medido sobre rebaba o extremo ovalado: mide un palmo más adentro, "
    "dos veces en cruz.",
    "help.write-wall.for": "El espesor de la pared. De él dependen retorno, aplastamiento y "
    "presión.",
    "help.write-wall.first": "Medida con rebaba: da de más. Desbarba antes.",
    "help.write-wall.second": "Exterior menos interior son dos paredes: la mitad es una.",
    "help.write-lot.for": "El lote está en el tubo. Lo que enseñan sus curvas vale primero para "
    "él.",
    "help.write-lot.first": "El número de la caja: lee el que lleva el tubo.",
    "help.write-lot.second": "Sin cambiar al abrir otro atado: las primeras curvas salen mal.",
    "help.write-pieces.for": "Cuántas iguales. Se cuentan, y cada una enseña a la siguiente.",
    "help.write-pieces.first": "Todas cortadas antes de probar la primera: haz una y pruébala en "
    "sus tomas.",
    "help.write-pieces.second": "Izquierda y derecha contadas como iguales: la imagen en espejo "
    "es otra tubería.",
    "help.write-name.for": "Cómo se llama la tubería aquí, en su hoja y en el registro.",
    "help.write-name.first": "Dos tuberías con un nombre: luego nadie las distingue. Añade el "
    "lugar.",
    "help.write-name.second": "El nombre viejo tras cambiar el plano: añade la revisión.",
    "help.plan-leg.for": "Un tramo va de vértice a vértice: donde se cruzan los ejes. El último "
    "acaba en el extremo.",
    "help.plan-leg.first": "Medido hasta donde empieza la curva: queda corta. Pon una regla en "
    "ambos tramos.",
    "help.plan-leg.second": "Medido por fuera: medio tubo de más en cada curva de 90°.",
    "help.plan-bend.for": "Cuánto se desvía el tubo de la recta: 0 recto, 90 a escuadra, 180 de "
    "vuelta.",
    "help.plan-bend.first": "Ángulo entre los tramos: una curva leve de 30 es allí 150.",
    "help.plan-bend.second": "Una U medida al vértice: desde 150° el tramo va a la cresta, lo más "
    "lejano.",
    "help.plan-turn.for": "Cuánto sale esta curva del plano de la anterior: a derechas, visto "
    "desde la bandera a lo largo del tubo.",
    "help.plan-turn.first": "Visto desde el otro extremo: el sentido se invierte. Ponte en la "
    "bandera.",
    "help.plan-turn.second": "0 para un desvío: allí la segunda curva vuelve, eso es 180.",
    "help.plan-turn.third": "Tomado por el giro de las manos: ese es el contrario y se dice en la "
    "curvadora.",
    "help.plan-shape.for": "Estas curvas son una forma. Sus medidas las cambian todas a la vez.",
    "help.plan-shape.first": "Pasada a tramos demasiado pronto: su altura ya no se cambia de una "
    "vez.",
    "help.plan-shape.second": "Cambiar su tramo y olvidar el obstáculo: la forma se mueve. Mira "
    "el dibujo.",
    "help.shape.for": "Una forma por su nombre: escribe sus medidas y el panel halla tramos, "
    "curvas y giros.",
    "help.shape.first": "Desvío donde el tubo también va de lado: eso es un desvío en diagonal.",
    "help.shape.second": "Tres curvas sobre algo ancho: toma el puente de cuatro, recto arriba.",
    "help.shape-offset.for": "Dos curvas iguales apartan el tubo. Altura de eje a eje.",
    "help.shape-offset.first": "El hueco como altura: de eje a eje es un tubo más.",
    "help.shape-offset.second": "Empinado y bajo: las curvas se encuentran. Toma un ángulo más "
    "suave.",
    "help.shape-rolling-offset.for": "Una pendiente lleva el tubo arriba y de lado. Altura y "
    "lateral van a escuadra.",
    "help.shape-rolling-offset.first": "Lateral al revés: va a derechas de la altura, mirando a "
    "lo largo. Si no, con menos.",
    "help.shape-rolling-offset.second": "La diagonal como altura: escribe las dos medidas a "
    "escuadra.",
    "help.shape-saddle.for": "Tres curvas sobre un obstáculo. La altura es la del eje en la "
    "cresta.",
    "help.shape-saddle.first": "Solo la altura del obstáculo: suma medio tubo y el hueco.",
    "help.shape-saddle.second": "El ángulo de las de fuera: se pide el de la central, ellas "
    "llevan la mitad.",
    "help.shape-flat-saddle.for": "Cuatro curvas iguales sobre algo ancho. Recta arriba es el "
    "trozo recto.",
    "help.shape-flat-saddle.first": "Solo la altura del obstáculo: suma medio tubo y el hueco.",
    "help.shape-flat-saddle.second": "Medido hasta el borde: va hasta el centro de la recta.",
    "help.shape-u.for": "El tubo vuelve junto a sí mismo. Ancho de eje a eje.",
    "help.shape-u.first": "Ancho por fuera: es un tubo de más.",
    "help.shape-u.second": "Más estrecho que la horma: por debajo de dos veces su radio no hay U.",
    "help.shape-parallel.for": "Un segundo tubo junto a esta tubería, a igual distancia en las "
    "rectas.",
    "help.shape-parallel.first": "El hueco como distancia: de eje a eje es un tubo más.",
    "help.shape-parallel.second": "Esperar el mismo hueco en las curvas: la horma es la misma, "
    "allí cambia.",
    "help.shape-port.for": "El último tramo entra en la toma: dónde está y hacia dónde entra el "
    "tubo.",
    "help.shape-port.first": "Medido hasta la cara del racor: el tubo sigue dentro. Indica dónde "
    "topa.",
    "help.shape-port.second": "Dirección al revés: es el sentido en que avanza el tubo, hacia "
    "dentro.",
    "help.shape-ports.for": "Dos tomas: dónde está cada una y hacia dónde va el tubo. El panel "
    "busca las tuberías.",
    "help.shape-ports.first": "Medidas desde sitios distintos: toma una esquina del marco para "
    "ambas.",
    "help.shape-ports.second": "Ambas direcciones hacia fuera: sale de la primera y entra en la "
    "última.",
    "help.shape-ways.for": "Varias tuberías llegan: primero menos curvas y menos tubo. Elige una.",
    "help.shape-ways.first": "Mirar solo el tubo: donde el extremo puede fallar menos, entra "
    "mejor.",
    "help.shape-ways.second": "Poca holgura pasada por alto: allí el tubo casi se toca.",
    "help.minds.for": "Todo lo que hay que saber de esta tubería antes de gastar metal.",
    "help.minds.first": "ALTO tomado por consejo: así no se puede o no se debe. Cambia la tubería.",
    "help.minds.second": "CUIDADO quitado sin leer: decide una persona, o sea tú. Lee sus números.",
    "help.clash.for": "Dónde choca el tubo consigo, con la curvadora o con el banco; y un orden "
    "que lo evita.",
    "help.clash.first": "Curvar en el orden viejo: sigue las curvas como se dicen.",
    "help.clash.second": "Un tornillo de banco o una pared que el perfil no conoce: nadie avisa.",
}
