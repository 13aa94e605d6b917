"""Help while a piece is made, and on the panel itself."""

HELP_MAKING: dict[str, str] = {
    "help.make-cut.for": "El tubo recto: todos los tramos, menos lo que ahorran las curvas, más "
    "lo que piden los extremos.",
    "help.make-cut.first": "Cortar junto a la raya: lo que falta aquí falta en el último tramo.",
    "help.make-cut.second": "Pasar la bandera al otro extremo: todas las marcas fallan. Déjala.",
    "help.make-slide.for": "Lo que no pasa por una curva entra ahora: tuercas, casquillos, "
    "abrazaderas.",
    "help.make-slide.first": "Una tuerca al revés: su rosca mira al extremo del tubo.",
    "help.make-slide.second": "Una olvidada: tras la curva ya no entra. Cuéntalas.",
    "help.make-mark.for": "La marca va en la línea de la curvadora. Todas se miden desde la "
    "bandera.",
    "help.make-mark.first": "Medir desde la marca anterior: los errores se suman. Cinta siempre "
    "en la bandera.",
    "help.make-mark.second": "Raya gruesa: nadie sabe qué borde vale. Fina y alrededor.",
    "help.make-re-mark.for": "La corrección mueve esta marca. La nueva se cuenta desde la vieja y "
    "desde el último lomo.",
    "help.make-re-mark.first": "Movida al revés: busca antes la bandera, luego mira el dibujo.",
    "help.make-re-mark.second": "La vieja sin tachar: la curva empezaría ahí.",
    "help.make-turn.for": "El tubo gira en el pestillo para que la curva vaya a su lado. Miras "
    "desde el pestillo a lo largo.",
    "help.make-turn.first": "Girado al revés: la tubería sale en espejo. Compara el lomo y el "
    "punto lleno.",
    "help.make-turn.second": "Se corrió al girarlo: mira que la marca siga en la línea.",
    "help.make-seat.for": "La marca en la línea indicada. Pestillo cerrado, palanca en el tubo, "
    "escala a cero.",
    "help.make-seat.first": "La línea de al lado: lee su nombre, no su sitio.",
    "help.make-seat.second": "Tubo al revés: mira si la bandera va sujeta o libre.",
    "help.make-seat.third": "Sin poner a cero: cada tirada falla en lo que marque la escala.",
    "help.make-pull.for": "Tira hasta la raya larga. Al soltar, el tubo retorna hacia la corta, "
    "el objetivo.",
    "help.make-pull.first": "Pasarse de un tirón: no tiene arreglo. Los últimos grados despacio.",
    "help.make-pull.second": "Parar en el objetivo: retorna y queda corta. Tira hasta la lectura.",
    "help.make-pull.third": "Escala leída de lado: mírala de frente.",
    "help.make-again.for": "Quedó corta. Colócalo como antes y tira más allá de la última "
    "lectura, hasta la nueva.",
    "help.make-again.first": "Tirar solo hasta el objetivo: cede y retorna, nada cambia.",
    "help.make-again.second": "Colocado algo al lado: la curva empieza dos veces. Marca otra vez "
    "en su línea.",
    "help.make-check.for": "El ángulo que queda sin palanca. Dice: bien, tirar más, o pasada.",
    "help.make-check.first": "Palanca aún puesta: eso mide la tirada, no la curva.",
    "help.make-check.second": "Ángulo entre los tramos: se pide cuánto se desvía de la recta.",
    "help.make-check.third": "Goniómetro en la curva: apóyalo en tubo recto a ambos lados.",
    "help.make-over.for": "La curva pasó de la tolerancia. Acéptala y corrige el resto, o "
    "descarta la pieza.",
    "help.make-over.first": "Desdoblarla un poco: allí se aplasta y se agrieta. Nunca.",
    "help.make-over.second": "Aceptarla a ojo: el panel dice cuánto fallará el extremo, míralo.",
    "help.make-correct.for": "Una curva salió mal. Lo que falta se cambia para que el extremo "
    "llegue.",
    "help.make-correct.first": "Seguir con marcas viejas: táchalas, las nuevas se dicen desde "
    "ellas.",
    "help.make-correct.second": "Tomarla sin leer: mira qué fallo queda; lo mejor aún puede ser "
    "mucho.",
    "help.make-scrap.for": "La pieza se abandona, y por qué. El motivo muestra dónde se pierde "
    "tubo.",
    "help.make-scrap.first": "Cualquier motivo por prisa: el registro oculta el fallo.",
    "help.make-scrap.second": "Dejarla entre las buenas: márcala y córtala en dos.",
    "help.make-store.for": "Todas las curvas hechas. Pruébala en sus dos tomas y guárdala.",
    "help.make-store.first": "Metida a la fuerza: debe asentar sola, con las tuercas giradas a "
    "mano.",
    "help.make-store.second": "Cortar otra antes de probar esta: di primero dónde falló.",
    "help.make-calipers.for": "Cuán redonda quedó la curva: diámetro mayor y menor en su centro.",
    "help.make-calipers.first": "Medido en un solo sitio: gira el calibre alrededor del tubo.",
    "help.make-calipers.second": "Medido junto a la curva: el centro es lo más aplastado.",
    "help.make-port.for": "Dónde falló la última en su toma. Mira a lo largo del tubo hacia la "
    "toma, último lomo abajo.",
    "help.make-port.first": "Visto desde la toma: derecha e izquierda cambian. Mira como entra el "
    "tubo.",
    "help.make-port.second": "Medido mientras se forzaba: déjala colgar libre.",
    "help.make-aim.for": "Las próximas se cambian por lo que falló la última. Así llegan.",
    "help.make-aim.first": "Cambiar líneas o radio por una pieza: espera a que otra muestre lo "
    "mismo.",
    "help.make-aim.second": "Un soporte movido: mide otra vez las tomas antes de cambiar piezas.",
    "help.kept.for": "Las piezas están hechas y en el registro, con sus lecturas.",
    "help.kept.first": "Virutas dentro: sopla el tubo antes de poner un racor.",
    "help.kept.second": "Dejadas entre otras: átales ahora el nombre.",
    "help.learnt.for": "Cada curva medida enseña cuánto retorna el tubo. En la banda caerá la "
    "próxima.",
    "help.learnt.first": "Contar una curva que se corrió en el pestillo: quítala.",
    "help.learnt.second": "Empezar el lote de nuevo por una mala: quita solo esa.",
    "help.trial.for": "Una curva en un recorte: corte, ambos tramos hasta el vértice y ángulo dan "
    "el radio real.",
    "help.trial.first": "Tramos por fuera: medio tubo de más a 90°. Réstalo.",
    "help.trial.second": "Una sola curva: medio milímetro en cada medida es más de uno en el "
    "radio. Haz tres.",
    "help.trial-u.for": "Una U da mejor el radio: medio ancho exterior menos medio tubo.",
    "help.trial-u.first": "Medido donde los tramos se abren: cerca de la curva, a escuadra.",
    "help.trial-u.second": "U incompleta: con menos de 180° el ancho es de más.",
    "help.copy.for": "El registro pasa a una memoria USB y allí se relee. Aquí también queda.",
    "help.copy.first": "Sacar la memoria antes de tiempo: espera a que se diga.",
    "help.copy.second": "Solo lo nuevo en una memoria vacía: para todo, elige copiar todo.",
    "help.settings.for": "Cómo es el panel: idioma, colores, lado del teclado, tamaño. Ninguna "
    "pieza cambia.",
    "help.settings.first": "Cambiar unidades para cambiar un trabajo: valen para el próximo.",
    "help.settings.second": "Pantalla sin medir: las teclas y el ángulo para comparar tienen un "
    "tamaño supuesto.",
    "help.ruler.for": "Dos barras que mueves hasta que tu regla marque lo dicho entre ellas. "
    "Así el panel sabe sus milímetros.",
    "help.ruler.first": "Leído de lado: regla plana en el vidrio, ojo de frente.",
    "help.ruler.second": "Dejar las barras como están: muévelas hasta que la regla lo diga.",
    "help.gauge.for": "La curva en su ángulo real. Tubo sobre el vidrio, un tramo entre las "
    "líneas, y mira el otro.",
    "help.gauge.first": "Delante del vidrio: el ángulo engaña. Apóyalo.",
    "help.gauge.second": "Palanca aún puesta: suelta antes, el tubo en reposo.",
    "help.machine.for": "Qué le falta a este equipo y qué hacer. El trabajo queda.",
    "help.machine.first": "Dejar la tensión baja: una fuente débil puede parar el panel en "
    "cualquier momento.",
    "help.machine.second": "Reloj sin poner: el orden del registro vale, las horas no.",
    "help.widths.for": "Cuánto pueden fallar marcas, ángulos y giros de este banco. El anillo y "
    "las correcciones salen de ahí.",
    "help.widths.first": "Demasiado poco por orgullo: las tuberías parecen encajar y fallan en la "
    "toma.",
    "help.widths.second": "Demasiado por comodidad: todas parecen dudosas. Toma lo que muestran "
    "las piezas medidas.",
    "help.piece.for": "Una pieza del registro, como se hizo. Lo que se vea después se puede "
    "añadir.",
    "help.piece.first": "Otra pieza de la misma tubería: compara el número de su etiqueta.",
    "help.piece.second": "La nota para mañana: escríbela con la pieza en la mano.",
    "help.write-remark.for": "Qué se vio en una pieza hecha, y quién. El registro mismo no cambia.",
    "help.write-remark.first": "Solo que está mal: escribe dónde, cuánto y qué se hizo.",
    "help.write-remark.second": "Sin nombre: nadie sabe a quién preguntar. Pon el tuyo al final.",
    "help.make-port-ahead.for": "A lo largo del tubo: ¿el extremo quedó corto o se pasó?",
    "help.make-port-ahead.first": "Medido hasta la tuerca o la cara del racor: mide hasta el "
    "extremo del tubo.",
    "help.make-port-ahead.second": "Corto escrito como pasado: mira hacia dónde va la flecha del "
    "dibujo.",
    "help.make-port-tilt.for": "Cuántos grados se tuerce el extremo: arriba o abajo, luego a un "
    "lado, último lomo abajo.",
    "help.make-port-tilt.first": "Juzgado por la tuerca: pon una regla a lo largo del tubo.",
    "help.make-port-tilt.second": "Un grado tomado por nada: en 300 mm son 5 mm.",
}
