<?xml version="1.0" encoding="utf-8"?>
<!DOCTYPE TS>
<TS version="2.1" language="es" sourcelanguage="en">
<context>
    <name>app::viewer::AddRecordingSheet</name>
    <message>
        <source>Add a recording to %1</source>
        <translation>Añadir una grabación a %1</translation>
    </message>
    <message>
        <source>&amp;Stage</source>
        <translation>&amp;Fase</translation>
    </message>
    <message>
        <source>&amp;Id</source>
        <translation>&amp;Nombre</translation>
    </message>
    <message>
        <source>&amp;Frames or video…</source>
        <translation>&amp;Imágenes o vídeo…</translation>
    </message>
    <message>
        <source>Frames of the recording</source>
        <translation>Imágenes de la grabación</translation>
    </message>
    <message>
        <source>C&amp;amera</source>
        <translation>C&amp;ámara</translation>
    </message>
    <message>
        <source>choose one</source>
        <translation>elija uno</translation>
    </message>
    <message>
        <source>+z, from piece a to piece b</source>
        <translation>+z, de la pieza a a la pieza b</translation>
    </message>
    <message>
        <source>-z, from piece b to piece a</source>
        <translation>-z, de la pieza b a la pieza a</translation>
    </message>
    <message>
        <source>sideways</source>
        <translation>de lado</translation>
    </message>
    <message>
        <source>Camera &amp;looked</source>
        <translation>La cámara &amp;miraba</translation>
    </message>
    <message>
        <source>empty: not known; clock positions are then relative</source>
        <translation>vacío: no se sabe; las horas son entonces relativas</translation>
    </message>
    <message>
        <source>Picture&apos;s &amp;up, degrees</source>
        <translation>Arriba de la &amp;imagen, grados</translation>
    </message>
    <message>
        <source>A fit-up recording, made before welding, is what the insert&apos;s consumption is told against: compare it with the root.</source>
        <translation>El consumo del inserto se dice frente a una grabación del ajuste, hecha antes de soldar: compárela con la raíz.</translation>
    </message>
    <message>
        <source>Frames or video</source>
        <translation>Imágenes o vídeo</translation>
    </message>
    <message>
        <source>The picture&apos;s up in degrees</source>
        <translation>Arriba de la imagen, en grados</translation>
    </message>
</context>
<context>
    <name>app::viewer::BookSheet</name>
    <message>
        <source>Open from a joint book</source>
        <translation>Abrir de un libro de juntas</translation>
    </message>
    <message>
        <source>&amp;Book…</source>
        <translation>&amp;Libro…</translation>
    </message>
    <message>
        <source>&amp;List</source>
        <translation>L&amp;istar</translation>
    </message>
    <message>
        <source>Joint book</source>
        <translation>Libro de juntas</translation>
    </message>
    <message>
        <source>Part of the joint&apos;s id</source>
        <translation>Parte del nombre de la junta</translation>
    </message>
    <message>
        <source>a joint book&apos;s file, or postgresql://user@host/database</source>
        <translation>archivo de un libro de juntas, o postgresql://usuario@servidor/base</translation>
    </message>
    <message>
        <source>part of the joint&apos;s id</source>
        <translation>parte del nombre de la junta</translation>
    </message>
    <message>
        <source>Joints of the book</source>
        <translation>Juntas del libro</translation>
    </message>
    <message>
        <source>The newest reading of the joint is opened as it lies on the record; the book is only read.</source>
        <translation>Se abre la lectura más reciente de la junta tal como consta en el registro; el libro solo se lee.</translation>
    </message>
    <message>
        <source>Open</source>
        <translation>Abrir</translation>
    </message>
    <message>
        <source>Give the joint book: a file, or the address of a server.</source>
        <translation>Indique el libro de juntas: un archivo o la dirección de un servidor.</translation>
    </message>
    <message>
        <source>%1 joints.</source>
        <translation>%1 juntas.</translation>
    </message>
    <message>
        <source>Joint</source>
        <translation>Junta</translation>
    </message>
    <message>
        <source>Cycle</source>
        <translation>Ciclo</translation>
    </message>
    <message>
        <source>Line</source>
        <translation>Línea</translation>
    </message>
    <message>
        <source>Welded on</source>
        <translation>Soldada el</translation>
    </message>
    <message>
        <source>Disposition</source>
        <translation>Decisión</translation>
    </message>
    <message>
        <source>Revision</source>
        <translation>Revisión</translation>
    </message>
</context>
<context>
    <name>app::viewer::Buttons</name>
    <message>
        <source>OK</source>
        <translation>Aceptar</translation>
    </message>
    <message>
        <source>Cancel</source>
        <translation>Cancelar</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Cerrar</translation>
    </message>
    <message>
        <source>%1: “%2” is not a number; write it with a point or a comma as decimal sign and no other signs.</source>
        <translation>%1: «%2» no es un número; escríbalo con punto o coma como signo decimal y sin otros signos.</translation>
    </message>
</context>
<context>
    <name>app::viewer::CalibrationSheet</name>
    <message>
        <source>&amp;Save to the library</source>
        <translation>&amp;Guardar en la biblioteca</translation>
    </message>
    <message>
        <source>such as head</source>
        <translation>por ejemplo cabezal</translation>
    </message>
    <message>
        <source>Camera&apos;s nam&amp;e</source>
        <translation>Nombr&amp;e de la cámara</translation>
    </message>
    <message>
        <source>Pictures &amp;taken on</source>
        <translation>Imágenes &amp;tomadas el</translation>
    </message>
    <message>
        <source>Saved. Every new joint can choose this camera from the library.</source>
        <translation>Guardada. Toda junta nueva puede elegir esta cámara de la biblioteca.</translation>
    </message>
</context>
<context>
    <name>app::viewer::CameraSheet</name>
    <message>
        <source>%1 px; arrows %2 times longer</source>
        <translation>%1 px; flechas %2 veces más largas</translation>
    </message>
    <message>
        <source>perspective</source>
        <translation>perspectiva</translation>
    </message>
    <message>
        <source>fisheye, omnidirectional model</source>
        <translation>ojo de pez, modelo omnidireccional</translation>
    </message>
    <message>
        <source>fisheye, Kannala-Brandt model</source>
        <translation>ojo de pez, modelo de Kannala-Brandt</translation>
    </message>
    <message>
        <source>fisheye, equidistant model</source>
        <translation>ojo de pez, modelo equidistante</translation>
    </message>
    <message>
        <source>Calibrate a camera from board pictures</source>
        <translation>Calibrar una cámara con imágenes de un tablero</translation>
    </message>
    <message>
        <source>Pictures of the board, corners drawn in</source>
        <translation>Imágenes del tablero con las esquinas dibujadas</translation>
    </message>
    <message>
        <source>Blue: corners were seen here; hatched: none yet, the lens is not known there.</source>
        <translation>Azul: aquí se vieron esquinas; rayado: aún ninguna, ahí la lente no se conoce.</translation>
    </message>
    <message>
        <source>How far each corner lies from where the lens shows it. Arrows that agree with their neighbours tell of a lens that does not fit; without order they are noise.</source>
        <translation>Cuánto se aparta cada esquina de donde la muestra la lente. Flechas que coinciden con sus vecinas delatan una lente que no se ajusta; sin orden son ruido.</translation>
    </message>
    <message>
        <source>Drop pictures of the board here, or a video of it. Eight or more, tilted, out to the picture&apos;s edge.</source>
        <translation>Suelte aquí imágenes del tablero o un vídeo de él. Ocho o más, inclinado, hasta el borde de la imagen.</translation>
    </message>
    <message>
        <source>Inner corners per &amp;row</source>
        <translation>Esquinas interiores por &amp;fila</translation>
    </message>
    <message>
        <source>Rows of &amp;corners</source>
        <translation>Filas de &amp;esquinas</translation>
    </message>
    <message>
        <source>Square as &amp;measured, mm</source>
        <translation>Cuadro &amp;medido, mm</translation>
    </message>
    <message>
        <source>&amp;Print a board…</source>
        <translation>&amp;Imprimir un tablero…</translation>
    </message>
    <message>
        <source>&amp;Add pictures…</source>
        <translation>&amp;Añadir imágenes…</translation>
    </message>
    <message>
        <source>Pictures or a video of the board</source>
        <translation>Imágenes o un vídeo del tablero</translation>
    </message>
    <message>
        <source>&amp;No board…</source>
        <translation>&amp;Sin tablero…</translation>
    </message>
    <message>
        <source>Two rings scribed in a pipe of known bore serve instead.</source>
        <translation>En su lugar sirven dos anillos trazados en un tubo de diámetro conocido.</translation>
    </message>
    <message>
        <source>Search a&amp;gain</source>
        <translation>&amp;Buscar otra vez</translation>
    </message>
    <message>
        <source>Side of a square in mm</source>
        <translation>Lado de un cuadro en mm</translation>
    </message>
    <message>
        <source>Searching the board</source>
        <translation>Buscando el tablero</translation>
    </message>
    <message>
        <source>
%1 px off, seen to %2 degrees</source>
        <translation>
%1 px de error, visto hasta %2 grados</translation>
    </message>
    <message>
        <source>
not used: %1</source>
        <translation>
no usada: %1</translation>
    </message>
    <message>
        <source>%1 of %2 pictures used; %3 px off on the whole. Lens: %4, known to %5 degrees from its axis. Where the map is hatched no corner was seen yet: take more pictures there.</source>
        <translation>%1 de %2 imágenes usadas; en conjunto, %3 px de error. Lente: %4, conocida hasta %5 grados de su eje. Donde el mapa está rayado aún no se vio ninguna esquina: tome allí más imágenes.</translation>
    </message>
    <message>
        <source>Where the board is written</source>
        <translation>Dónde se escribe el tablero</translation>
    </message>
    <message>
        <source>Written: %1. Print at 100 %, then measure the bar at its foot: 100.0 mm.</source>
        <translation>Escrito: %1. Imprima al 100 % y mida la barra del pie: 100,0 mm.</translation>
    </message>
</context>
<context>
    <name>app::viewer::Commands</name>
    <message>
        <source>note</source>
        <translation>nota</translation>
    </message>
    <message>
        <source>change of a note</source>
        <translation>cambio de una nota</translation>
    </message>
    <message>
        <source>To overrule a measurement a reason is needed.</source>
        <translation>Para desestimar una medición hace falta un motivo.</translation>
    </message>
    <message>
        <source>overruling</source>
        <translation>desestimación</translation>
    </message>
    <message>
        <source>acceptance</source>
        <translation>aceptación</translation>
    </message>
    <message>
        <source>A toe set by hand needs a reason: why is the measured one not right?</source>
        <translation>Un pie puesto a mano necesita un motivo: ¿por qué no es correcto el medido?</translation>
    </message>
    <message>
        <source>toe set by hand</source>
        <translation>pie puesto a mano</translation>
    </message>
    <message>
        <source>That toe is gone.</source>
        <translation>Ese pie ya no está.</translation>
    </message>
    <message>
        <source>toe placed once more</source>
        <translation>pie puesto una vez más</translation>
    </message>
    <message>
        <source>removal of a note</source>
        <translation>borrado de una nota</translation>
    </message>
    <message>
        <source>A toe set by hand needs two or more points.</source>
        <translation>Un pie puesto a mano necesita dos puntos o más.</translation>
    </message>
    <message>
        <source>The points of a toe must follow each other around the bore.</source>
        <translation>Los puntos de un pie deben seguirse alrededor del tubo.</translation>
    </message>
    <message>
        <source>removal of a toe set by hand</source>
        <translation>borrado de un pie puesto a mano</translation>
    </message>
</context>
<context>
    <name>app::viewer::Comparison</name>
    <message>
        <source>Laying the two recordings on each other</source>
        <translation>Superponiendo las dos grabaciones</translation>
    </message>
    <message>
        <source>Measuring</source>
        <translation>Midiendo</translation>
    </message>
    <message>
        <source>after</source>
        <translation>después</translation>
    </message>
    <message>
        <source>before</source>
        <translation>antes</translation>
    </message>
    <message>
        <source>after: %1, %2</source>
        <translation>después: %1, %2</translation>
    </message>
    <message>
        <source>before: %1, %2</source>
        <translation>antes: %1, %2</translation>
    </message>
    <message>
        <source>Moving</source>
        <translation>Moviendo</translation>
    </message>
    <message>
        <source>height change not measured here</source>
        <translation>cambio de altura no medido aquí</translation>
    </message>
    <message>
        <source>height changed by %1 ± %2 mm (k = 2)</source>
        <translation>la altura cambió %1 ± %2 mm (k = 2)</translation>
    </message>
    <message>
        <source>Laid on each other by the wall</source>
        <translation>Superpuestas por la pared</translation>
    </message>
    <message>
        <source>NOT TRUSTWORTHY: %1</source>
        <translation>NO FIABLE: %1</translation>
    </message>
    <message>
        <source> — turned by %1°, residual %2 mm, %3 % of the wall&apos;s patches agree</source>
        <translation> — girada %1°, residuo %2 mm, coincide el %3 % de los trozos de pared</translation>
    </message>
    <message>
        <source> — moved by hand: %1°, %2 mm</source>
        <translation> — movida a mano: %1°, %2 mm</translation>
    </message>
    <message>
        <source> — difference (F8): of brightness evened out, for the eye, no measurement; grey where both are alike</source>
        <translation> — diferencia (F8): de brillo igualado, para la vista, no es medición; gris donde ambas son iguales</translation>
    </message>
    <message>
        <source> — heights (Shift+F8): full colour at %1 mm</source>
        <translation> — alturas (Mayús+F8): color pleno a %1 mm</translation>
    </message>
    <message>
        <source> — heights: not measurable from these recordings, the difference is of brightness only</source>
        <translation> — alturas: no medibles con estas grabaciones, la diferencia es solo de brillo</translation>
    </message>
    <message>
        <source> — insert edge, %1 side: seen at fit-up on %2°, of that no longer seen %3°, STILL VISIBLE %4°, not examined %5°</source>
        <translation> — borde del inserto, lado %1: visto en el ajuste en %2°, de ello ya no se ve %3°, TODAVÍA VISIBLE %4°, no examinado %5°</translation>
    </message>
</context>
<context>
    <name>app::viewer::Desk</name>
    <message>
        <source>Opening</source>
        <translation>Abriendo</translation>
    </message>
    <message>
        <source>Opening from the book</source>
        <translation>Abriendo del libro</translation>
    </message>
    <message>
        <source>Measuring</source>
        <translation>Midiendo</translation>
    </message>
    <message>
        <source>Measuring was stopped; nothing was written.</source>
        <translation>La medición se detuvo; no se escribió nada.</translation>
    </message>
    <message>
        <source>Changes that had not been saved came back. Save keeps them.</source>
        <translation>Se recuperaron cambios que no se habían guardado. Guardar los conserva.</translation>
    </message>
    <message>
        <source>Saved: %1</source>
        <translation>Guardado: %1</translation>
    </message>
    <message>
        <source>`rootscroll book window-notes` puts them on the record</source>
        <translation>`rootscroll book window-notes` las pone en el registro</translation>
    </message>
</context>
<context>
    <name>app::viewer::EndView</name>
    <message>
        <source>End view of the pipe</source>
        <translation>Vista del extremo del tubo</translation>
    </message>
    <message>
        <source>The pipe&apos;s end from where the welder stands. Click goes to the place; T turns it round.</source>
        <translation>El extremo del tubo desde donde está el soldador. Un clic va al lugar; T le da la vuelta.</translation>
    </message>
    <message>
        <source>from %1, looking against +z;
outer ring %1, inner ring %2</source>
        <translation>desde %1, mirando contra +z;
anillo exterior %1, anillo interior %2</translation>
    </message>
    <message>
        <source>from %1, looking along +z;
outer ring %1, inner ring %2</source>
        <translation>desde %1, mirando según +z;
anillo exterior %1, anillo interior %2</translation>
    </message>
    <message>
        <source>degrees from the picture&apos;s up; no clock is known</source>
        <translation>grados desde arriba de la imagen; no se conoce ninguna hora</translation>
    </message>
    <message>
        <source>hours as in the record, looking along +z</source>
        <translation>horas como en el informe, mirando según +z</translation>
    </message>
    <message>
        <source>nothing
examined</source>
        <translation>nada
examinado</translation>
    </message>
    <message>
        <source>not all
examined</source>
        <translation>no todo
examinado</translation>
    </message>
    <message>
        <source>edge
still visible</source>
        <translation>borde
aún visible</translation>
    </message>
    <message>
        <source>edges
still visible</source>
        <translation>bordes
aún visibles</translation>
    </message>
    <message>
        <source>+ %1 overruled</source>
        <translation>+ %1 desestimados</translation>
    </message>
</context>
<context>
    <name>app::viewer::FactsSheet</name>
    <message>
        <source>Recording %1</source>
        <translation>Grabación %1</translation>
    </message>
    <message>
        <source>Camera %1</source>
        <translation>Cámara %1</translation>
    </message>
    <message>
        <source>from piece a to piece b (+z)</source>
        <translation>de la pieza a a la pieza b (+z)</translation>
    </message>
    <message>
        <source>from piece b to piece a (-z)</source>
        <translation>de la pieza b a la pieza a (-z)</translation>
    </message>
    <message>
        <source>sideways</source>
        <translation>de lado</translation>
    </message>
    <message>
        <source>Facts of the joint</source>
        <translation>Datos de la junta</translation>
    </message>
    <message>
        <source>What you do not know stays empty: it is then left out, never guessed.</source>
        <translation>Lo que no sepa queda vacío: entonces se omite, nunca se supone.</translation>
    </message>
    <message>
        <source>not known</source>
        <translation>no se conoce</translation>
    </message>
    <message>
        <source>(differs)</source>
        <translation>(difiere)</translation>
    </message>
    <message>
        <source>Click the datum in a picture…</source>
        <translation>Marcar la referencia en una imagen…</translation>
    </message>
    <message>
        <source>Say first which way the camera looked, along the pipe; then click beside the middle.</source>
        <translation>Diga primero hacia dónde miraba la cámara a lo largo del tubo; luego haga clic fuera del centro.</translation>
    </message>
</context>
<context>
    <name>app::viewer::FilmCard</name>
    <message>
        <source>A&amp;gain</source>
        <translation>&amp;Otra vez</translation>
    </message>
    <message>
        <source>A&amp;way</source>
        <translation>&amp;Quitar</translation>
    </message>
    <message>
        <source>Recording, playing</source>
        <translation>Grabación en reproducción</translation>
    </message>
    <message>
        <source>Holds the recording, or lets it go on (Space)</source>
        <translation>Detiene la grabación o la deja seguir (Espacio)</translation>
    </message>
    <message>
        <source>From the same moment once more</source>
        <translation>Otra vez desde el mismo momento</translation>
    </message>
    <message>
        <source>Takes the card away (Esc)</source>
        <translation>Quita la tarjeta (Esc)</translation>
    </message>
    <message>
        <source>&amp;Go on</source>
        <translation>&amp;Seguir</translation>
    </message>
    <message>
        <source>&amp;Hold</source>
        <translation>&amp;Detener</translation>
    </message>
    <message>
        <source>Reading the recording …</source>
        <translation>Leyendo la grabación…</translation>
    </message>
    <message>
        <source>%1, the recording ends</source>
        <translation>%1, la grabación termina</translation>
    </message>
</context>
<context>
    <name>app::viewer::FrameView</name>
    <message>
        <source>The whole source frame with toes and clock</source>
        <translation>El fotograma de origen entero con pies y horas</translation>
    </message>
    <message>
        <source>The frame that the lens shows, whole: toes yellow, borders of the strip dashed, the clock in white.</source>
        <translation>El fotograma que muestra la lupa, entero: pies en amarillo, bordes de la tira a trazos, las horas en blanco.</translation>
    </message>
</context>
<context>
    <name>app::viewer::HandbookSheet</name>
    <message>
        <source>en</source>
        <translation>es</translation>
    </message>
    <message>
        <source>Handbook</source>
        <translation>Manual</translation>
    </message>
    <message>
        <source>Search the handbook</source>
        <translation>Buscar en el manual</translation>
    </message>
    <message>
        <source>Chapters, or what was found</source>
        <translation>Capítulos, o lo hallado</translation>
    </message>
    <message>
        <source>Text of the chapter</source>
        <translation>Texto del capítulo</translation>
    </message>
    <message>
        <source>Nothing found. Fewer words, or a part of one, find more.</source>
        <translation>Nada hallado. Menos palabras, o parte de una, hallan más.</translation>
    </message>
</context>
<context>
    <name>app::viewer::JobBar</name>
    <message>
        <source>Stop</source>
        <translation>Detener</translation>
    </message>
</context>
<context>
    <name>app::viewer::JobRunner</name>
    <message>
        <source>Something in the program failed; this work was given up and changed nothing.</source>
        <translation>Algo falló en el programa; este trabajo se abandonó y no cambió nada.</translation>
    </message>
</context>
<context>
    <name>app::viewer::JudgeSheet</name>
    <message>
        <source>Judge</source>
        <translation>Juzgar</translation>
    </message>
    <message>
        <source>Criterion</source>
        <translation>Criterio</translation>
    </message>
    <message>
        <source>Outcome</source>
        <translation>Resultado</translation>
    </message>
    <message>
        <source>Rule</source>
        <translation>Regla</translation>
    </message>
    <message>
        <source>Where it stands, how known</source>
        <translation>Dónde figura, cómo se sabe</translation>
    </message>
    <message>
        <source>Why</source>
        <translation>Por qué</translation>
    </message>
    <message>
        <source>Rules and outcomes</source>
        <translation>Reglas y resultados</translation>
    </message>
    <message>
        <source>&amp;Report</source>
        <translation>&amp;Informe</translation>
    </message>
    <message>
        <source> — decided by: %1</source>
        <translation> — decide: %1</translation>
    </message>
    <message>
        <source> and </source>
        <translation> y </translation>
    </message>
    <message>
        <source>Note: %1</source>
        <translation>Nota: %1</translation>
    </message>
</context>
<context>
    <name>app::viewer::LegendView</name>
    <message>
        <source>Legend</source>
        <translation>Leyenda</translation>
    </message>
</context>
<context>
    <name>app::viewer::LensView</name>
    <message>
        <source>Lens: source frame and strip</source>
        <translation>Lupa: fotograma de origen y tira</translation>
    </message>
    <message>
        <source>The source frame, and the strip beside it; the same point marked in both.
[ and ] step through the frames that saw it; the wheel magnifies; double click shows the whole frame; drag to move.</source>
        <translation>El fotograma de origen, y la tira junto a él; el mismo punto marcado en ambos.
[ y ] recorren los fotogramas que lo vieron; la rueda amplía; doble clic muestra el fotograma entero; arrastre para mover.</translation>
    </message>
    <message>
        <source>This reading keeps no source maps; measure the joint again to see its frames here.</source>
        <translation>Esta lectura no guarda mapas de origen; mida de nuevo la junta para ver aquí sus fotogramas.</translation>
    </message>
    <message>
        <source>No frame saw this place.</source>
        <translation>Ningún fotograma vio este lugar.</translation>
    </message>
    <message>
        <source>Reading the frame …</source>
        <translation>Leyendo el fotograma …</translation>
    </message>
    <message>
        <source>%1 (%2 of %3 that saw it), %4 mm before the weld, looks %5
pixel %6, %7; one pixel covers %8 mm</source>
        <translation>%1 (%2 de %3 que lo vieron), %4 mm antes de la soldadura, mira %5
píxel %6, %7; un píxel cubre %8 mm</translation>
    </message>
</context>
<context>
    <name>app::viewer::ListModel</name>
    <message>
        <source>Original edge visible, %1 side, %2, %3</source>
        <translation>Borde original visible, lado %1, %2, %3</translation>
    </message>
    <message>
        <source>%1 at %2, length %3</source>
        <translation>%1 en %2, longitud %3</translation>
    </message>
    <message>
        <source>%1. %2 at %3</source>
        <translation>%1. %2 en %3</translation>
    </message>
    <message>
        <source>Toe set by hand, %1 side, %2</source>
        <translation>Pie puesto a mano, lado %1, %2</translation>
    </message>
    <message>
        <source>Not examined, %1 side, %2</source>
        <translation>No examinado, lado %1, %2</translation>
    </message>
    <message>
        <source>OVERRULED: %1</source>
        <translation>DESESTIMADO: %1</translation>
    </message>
    <message>
        <source> — accepted</source>
        <translation> — aceptado</translation>
    </message>
</context>
<context>
    <name>app::viewer::LiveEnd</name>
    <message>
        <source>How much of the ring was seen</source>
        <translation>Cuánto del anillo se ha visto</translation>
    </message>
    <message>
        <source>Filled from the inside out by how much of the 10 mm either side of the weld was seen finely enough. Dotted: not yet. Seen does not mean fused.</source>
        <translation>Se llena de dentro afuera según cuánto de los 10 mm a cada lado de la soldadura se vio con finura suficiente. Punteado: aún no. Visto no significa fundido.</translation>
    </message>
    <message>
        <source>seen</source>
        <translation>visto</translation>
    </message>
    <message>
        <source>clock as seen looking along +z; seen does not mean fused</source>
        <translation>horas mirando en +z; visto no significa fundido</translation>
    </message>
    <message>
        <source>degrees from the picture&apos;s up, no clock is known; seen does not mean fused</source>
        <translation>grados desde arriba de la imagen, no se conoce ninguna hora; visto no significa fundido</translation>
    </message>
</context>
<context>
    <name>app::viewer::LivePage</name>
    <message>
        <source>The strip while it fills</source>
        <translation>La banda mientras se llena</translation>
    </message>
    <message>
        <source>Coarse, for guiding the camera. Dotted: not seen yet. Yellow: where the toes seem to lie.</source>
        <translation>Basta, para guiar la cámara. Punteado: aún no visto. Amarillo: donde parecen estar los bordes del cordón.</translation>
    </message>
    <message>
        <source>%1° rel.</source>
        <translation>%1° rel.</translation>
    </message>
    <message>
        <source>Nothing of the wall was laid flat yet.</source>
        <translation>Aún no se ha desarrollado nada de la pared.</translation>
    </message>
</context>
<context>
    <name>app::viewer::LiveSheet</name>
    <message>
        <source>Follow a camera live</source>
        <translation>Seguir una cámara en directo</translation>
    </message>
    <message>
        <source>&amp;Source…</source>
        <translation>&amp;Fuente…</translation>
    </message>
    <message>
        <source>0, /dev/video0, an address with ://, or a video file</source>
        <translation>0, /dev/video0, una dirección con :// o un archivo de vídeo</translation>
    </message>
    <message>
        <source>&amp;Joint file…</source>
        <translation>Archivo de la &amp;junta…</translation>
    </message>
    <message>
        <source>C&amp;amera</source>
        <translation>C&amp;ámara</translation>
    </message>
    <message>
        <source>choose one</source>
        <translation>elija uno</translation>
    </message>
    <message>
        <source>+z, from piece a to piece b</source>
        <translation>+z, de la pieza a a la pieza b</translation>
    </message>
    <message>
        <source>-z, from piece b to piece a</source>
        <translation>-z, de la pieza b a la pieza a</translation>
    </message>
    <message>
        <source>Camera &amp;looks</source>
        <translation>La cámara &amp;mira</translation>
    </message>
    <message>
        <source>empty: not known; degrees from the picture&apos;s up, no clock</source>
        <translation>vacío: no se sabe; grados desde arriba de la imagen, sin hora</translation>
    </message>
    <message>
        <source>Picture&apos;s &amp;up, degrees</source>
        <translation>Arriba de la &amp;imagen, grados</translation>
    </message>
    <message>
        <source>&amp;Record to…</source>
        <translation>&amp;Grabar en…</translation>
    </message>
    <message>
        <source>empty: nothing is recorded</source>
        <translation>vacío: no se graba nada</translation>
    </message>
    <message>
        <source>The live strip guides the camera; what is judged is measured from the recording.</source>
        <translation>La banda en directo guía la cámara; lo que se juzga se mide en la grabación.</translation>
    </message>
    <message>
        <source>Record to</source>
        <translation>Grabar en</translation>
    </message>
    <message>
        <source>Choose a file</source>
        <translation>Elegir un archivo</translation>
    </message>
    <message>
        <source>Say where the pictures come from: a device, a stream&apos;s address or a file.</source>
        <translation>Indique de dónde vienen las imágenes: un token, la dirección de una transmisión o un archivo.</translation>
    </message>
    <message>
        <source>Give the joint file: it knows the bore and the camera.</source>
        <translation>Indique el archivo de la junta: conoce el diámetro y la cámara.</translation>
    </message>
    <message>
        <source>Say which way the camera looks.</source>
        <translation>Indique hacia dónde mira la cámara.</translation>
    </message>
    <message>
        <source>The picture&apos;s up in degrees</source>
        <translation>Arriba de la imagen, en grados</translation>
    </message>
    <message>
        <source>That recording exists already; choose another name.</source>
        <translation>Esa grabación ya existe; elija otro nombre.</translation>
    </message>
</context>
<context>
    <name>app::viewer::LiveView</name>
    <message>
        <source>&amp;Stop</source>
        <translation>&amp;Parar</translation>
    </message>
    <message>
        <source>Sort the &amp;recording</source>
        <translation>&amp;Clasificar la grabación</translation>
    </message>
    <message>
        <source>Live view</source>
        <translation>Vista en directo</translation>
    </message>
    <message>
        <source>What to do now</source>
        <translation>Qué hacer ahora</translation>
    </message>
    <message>
        <source>The ring fills from the inside out as more of the 10 mm either side of the weld is seen.</source>
        <translation>El anillo se llena de dentro afuera según se ven los 10 mm a cada lado de la soldadura.</translation>
    </message>
    <message>
        <source>Ended</source>
        <translation>Terminado</translation>
    </message>
    <message>
        <source>&amp;Back to the joint</source>
        <translation>&amp;Volver a la junta</translation>
    </message>
</context>
<context>
    <name>app::viewer::LiveWords</name>
    <message>
        <source>No picture</source>
        <translation>Sin imagen</translation>
    </message>
    <message>
        <source>Welding: the strip waits</source>
        <translation>Soldando: la banda espera</translation>
    </message>
    <message>
        <source>Looking for the weld</source>
        <translation>Buscando la soldadura</translation>
    </message>
    <message>
        <source>Too close to the wall</source>
        <translation>Demasiado cerca de la pared</translation>
    </message>
    <message>
        <source>Hold still</source>
        <translation>No mover</translation>
    </message>
    <message>
        <source>Move on</source>
        <translation>Seguir adelante</translation>
    </message>
    <message>
        <source>Covered all round</source>
        <translation>Cubierto en todo el contorno</translation>
    </message>
    <message>
        <source>Good</source>
        <translation>Bien</translation>
    </message>
    <message>
        <source>The camera is not followed: %1</source>
        <translation>No se sigue la cámara: %1</translation>
    </message>
    <message>
        <source>%1 s; %2 frames used, %3 gone by, %4 without a pose</source>
        <translation>%1 s; %2 imágenes usadas, %3 pasadas por alto, %4 sin posición</translation>
    </message>
    <message>
        <source>from the frame to the screen %1 ms, 95 % within %2 ms</source>
        <translation>de la imagen a la pantalla %1 ms, el 95 % en menos de %2 ms</translation>
    </message>
    <message>
        <source>silent at %1 s for %2 s</source>
        <translation>sin señal en %1 s durante %2 s</translation>
    </message>
    <message>
        <source>silent since %1 s; trying again</source>
        <translation>sin señal desde %1 s; se intenta de nuevo</translation>
    </message>
    <message>
        <source>recorded %1 frames; %2 are LOST: disk or processor did not keep up</source>
        <translation>grabadas %1 imágenes; %2 se han PERDIDO: el disco o el procesador no han dado abasto</translation>
    </message>
    <message>
        <source>recorded %1 frames, none lost</source>
        <translation>grabadas %1 imágenes, ninguna perdida</translation>
    </message>
    <message>
        <source>For guiding the camera only: nothing here is a measurement. Measure the recording. It supports and never replaces the qualified examiner, the contract&apos;s code edition and local rules.</source>
        <translation>Solo para guiar la cámara: nada de esto es una medida. Mida la grabación. Ayuda y nunca sustituye al examinador cualificado, la edición del código del contrato ni las normas locales.</translation>
    </message>
</context>
<context>
    <name>app::viewer::MainWindow</name>
    <message>
        <source>&amp;Edit</source>
        <translation>&amp;Edición</translation>
    </message>
    <message>
        <source>&amp;Undo</source>
        <translation>&amp;Deshacer</translation>
    </message>
    <message>
        <source>&amp;Redo</source>
        <translation>&amp;Rehacer</translation>
    </message>
    <message>
        <source>Undo, redo</source>
        <translation>Deshacer, rehacer</translation>
    </message>
    <message>
        <source>&amp;Next place in the list</source>
        <translation>&amp;Siguiente lugar de la lista</translation>
    </message>
    <message>
        <source>&amp;Previous place in the list</source>
        <translation>Lugar a&amp;nterior de la lista</translation>
    </message>
    <message>
        <source>&amp;Accept what was measured here</source>
        <translation>&amp;Aceptar lo medido aquí</translation>
    </message>
    <message>
        <source>&amp;Overrule what was measured here…</source>
        <translation>&amp;Desestimar lo medido aquí…</translation>
    </message>
    <message>
        <source>&amp;Edit the chosen note…</source>
        <translation>&amp;Editar la nota elegida…</translation>
    </message>
    <message>
        <source>&amp;Delete the chosen note</source>
        <translation>&amp;Borrar la nota elegida</translation>
    </message>
    <message>
        <source>&amp;Note</source>
        <translation>&amp;Nota</translation>
    </message>
    <message>
        <source>Tools</source>
        <translation>Herramientas</translation>
    </message>
    <message>
        <source>&amp;Look</source>
        <translation>&amp;Mirar</translation>
    </message>
    <message>
        <source>&amp;Point</source>
        <translation>&amp;Punto</translation>
    </message>
    <message>
        <source>L&amp;ine</source>
        <translation>&amp;Línea</translation>
    </message>
    <message>
        <source>&amp;Box</source>
        <translation>&amp;Recuadro</translation>
    </message>
    <message>
        <source>&amp;Outline</source>
        <translation>&amp;Contorno</translation>
    </message>
    <message>
        <source>&amp;Text</source>
        <translation>&amp;Texto</translation>
    </message>
    <message>
        <source>Toe by &amp;hand</source>
        <translation>Pie a &amp;mano</translation>
    </message>
    <message>
        <source>Drag pans, a click goes there (Esc)</source>
        <translation>Arrastrar desplaza, un clic va allí (Esc)</translation>
    </message>
    <message>
        <source>Click puts points in, right click or Enter ends (%1)</source>
        <translation>Un clic pone puntos, clic derecho o Intro termina (%1)</translation>
    </message>
    <message>
        <source>&amp;Toe lines</source>
        <translation>Líneas de &amp;pie</translation>
    </message>
    <message>
        <source>&amp;Fusion along the edges</source>
        <translation>&amp;Fusión en los bordes</translation>
    </message>
    <message>
        <source>&amp;Indications</source>
        <translation>&amp;Indicaciones</translation>
    </message>
    <message>
        <source>&amp;Not examined</source>
        <translation>&amp;No examinado</translation>
    </message>
    <message>
        <source>N&amp;otes and marked places</source>
        <translation>N&amp;otas y lugares señalados</translation>
    </message>
    <message>
        <source>&amp;Profiles</source>
        <translation>&amp;Perfiles</translation>
    </message>
    <message>
        <source>&amp;Ruler</source>
        <translation>Re&amp;gla</translation>
    </message>
    <message>
        <source>Radio&amp;graph by its numbers</source>
        <translation>Radio&amp;grafía por sus números</translation>
    </message>
    <message>
        <source>&amp;What the program saw</source>
        <translation>Lo &amp;que vio el programa</translation>
    </message>
    <message>
        <source>Le&amp;gends</source>
        <translation>Le&amp;yendas</translation>
    </message>
    <message>
        <source>&amp;Lens</source>
        <translation>&amp;Lupa</translation>
    </message>
    <message>
        <source>Whole source &amp;frame</source>
        <translation>Fotograma de origen &amp;entero</translation>
    </message>
    <message>
        <source>Lens: ne&amp;xt frame that saw it</source>
        <translation>Lupa: si&amp;guiente fotograma que lo vio</translation>
    </message>
    <message>
        <source>Lens: pre&amp;vious frame that saw it</source>
        <translation>Lupa: fotograma an&amp;terior que lo vio</translation>
    </message>
    <message>
        <source>Lens: &amp;magnify</source>
        <translation>Lupa: am&amp;pliar</translation>
    </message>
    <message>
        <source>Lens: s&amp;hrink</source>
        <translation>Lupa: re&amp;ducir</translation>
    </message>
    <message>
        <source>&amp;View</source>
        <translation>&amp;Ver</translation>
    </message>
    <message>
        <source>&amp;Whole ring</source>
        <translation>&amp;Anillo entero</translation>
    </message>
    <message>
        <source>Zoom &amp;in</source>
        <translation>A&amp;mpliar</translation>
    </message>
    <message>
        <source>Zoom &amp;out</source>
        <translation>&amp;Reducir</translation>
    </message>
    <message>
        <source>To single &amp;source pixels</source>
        <translation>Hasta los píxeles de &amp;origen</translation>
    </message>
    <message>
        <source>Turn the end view roun&amp;d</source>
        <translation>Dar la &amp;vuelta al extremo</translation>
    </message>
    <message>
        <source>For the wel&amp;der</source>
        <translation>Para el &amp;soldador</translation>
    </message>
    <message>
        <source>&amp;Light</source>
        <translation>&amp;Luz</translation>
    </message>
    <message>
        <source>&amp;Brighter</source>
        <translation>Más &amp;clara</translation>
    </message>
    <message>
        <source>&amp;Darker</source>
        <translation>Más &amp;oscura</translation>
    </message>
    <message>
        <source>&amp;Lift the dark (gamma)</source>
        <translation>A&amp;clarar lo oscuro (gamma)</translation>
    </message>
    <message>
        <source>L&amp;ower the dark (gamma)</source>
        <translation>O&amp;scurecer lo oscuro (gamma)</translation>
    </message>
    <message>
        <source>Local &amp;contrast</source>
        <translation>Contraste &amp;local</translation>
    </message>
    <message>
        <source>&amp;As recorded</source>
        <translation>Como se &amp;grabó</translation>
    </message>
    <message>
        <source>&amp;Compare</source>
        <translation>&amp;Comparar</translation>
    </message>
    <message>
        <source>With a &amp;later recording…</source>
        <translation>Con una grabación &amp;posterior…</translation>
    </message>
    <message>
        <source>Folder of the later recording, measured or not</source>
        <translation>Carpeta de la grabación posterior, medida o no</translation>
    </message>
    <message>
        <source>&amp;Beside each other</source>
        <translation>&amp;Una junto a otra</translation>
    </message>
    <message>
        <source>&amp;Split line</source>
        <translation>&amp;Línea divisoria</translation>
    </message>
    <message>
        <source>B&amp;link</source>
        <translation>&amp;Parpadeo</translation>
    </message>
    <message>
        <source>&amp;Difference</source>
        <translation>&amp;Diferencia</translation>
    </message>
    <message>
        <source>Difference in &amp;height</source>
        <translation>Diferencia de &amp;altura</translation>
    </message>
    <message>
        <source>Heights are not known in both recordings: the difference can be shown in brightness only.</source>
        <translation>No se conocen las alturas en ambas grabaciones: la diferencia solo puede mostrarse en brillo.</translation>
    </message>
    <message>
        <source>Split line towards the s&amp;tart of the page</source>
        <translation>Línea divisoria hacia el p&amp;rincipio de la página</translation>
    </message>
    <message>
        <source>Split line towards the &amp;end of the page</source>
        <translation>Línea divisoria hacia el &amp;final de la página</translation>
    </message>
    <message>
        <source>Move the later one &amp;clockwise</source>
        <translation>Mover la posterior en sentido &amp;horario</translation>
    </message>
    <message>
        <source>Move the later one c&amp;ounter-clockwise</source>
        <translation>Mover la posterior en sentido &amp;antihorario</translation>
    </message>
    <message>
        <source>Move the later one &amp;up</source>
        <translation>Mover la posterior hacia a&amp;rriba</translation>
    </message>
    <message>
        <source>Move the later one dow&amp;n</source>
        <translation>Mover la posterior hacia aba&amp;jo</translation>
    </message>
    <message>
        <source>E&amp;nd comparing</source>
        <translation>&amp;Terminar la comparación</translation>
    </message>
    <message>
        <source>&amp;Settings</source>
        <translation>A&amp;justes</translation>
    </message>
    <message>
        <source>&amp;Clock</source>
        <translation>&amp;Reloj</translation>
    </message>
    <message>
        <source>&amp;Degrees</source>
        <translation>&amp;Grados</translation>
    </message>
    <message>
        <source>mm of arc, &amp;inside</source>
        <translation>mm de arco, &amp;interior</translation>
    </message>
    <message>
        <source>mm of arc, &amp;outside</source>
        <translation>mm de arco, &amp;exterior</translation>
    </message>
    <message>
        <source>&amp;Stations of the belt outside</source>
        <translation>&amp;Estaciones de la cinta exterior</translation>
    </message>
    <message>
        <source>No belt is known: a repair file (film.belt) beside the joint file tells where its numbers are.</source>
        <translation>No se conoce ninguna cinta: un archivo de reparación (film.belt) junto al de la junta dice dónde están sus números.</translation>
    </message>
    <message>
        <source>&amp;Inches and fractions beside millimetres</source>
        <translation>&amp;Pulgadas y fracciones junto a milímetros</translation>
    </message>
    <message>
        <source>&amp;Colours</source>
        <translation>&amp;Colores</translation>
    </message>
    <message>
        <source>As the &amp;system</source>
        <translation>Como el &amp;sistema</translation>
    </message>
    <message>
        <source>&amp;Dark</source>
        <translation>&amp;Oscuro</translation>
    </message>
    <message>
        <source>Lan&amp;guage</source>
        <translation>&amp;Idioma</translation>
    </message>
    <message>
        <source>The language changes when the program is started again.</source>
        <translation>El idioma cambia al volver a iniciar el programa.</translation>
    </message>
    <message>
        <source>End view</source>
        <translation>Vista del extremo</translation>
    </message>
    <message>
        <source>Lens</source>
        <translation>Lupa</translation>
    </message>
    <message>
        <source>End view as a doc&amp;k</source>
        <translation>Vista del extremo como panel</translation>
    </message>
    <message>
        <source>Lens as a dock that sta&amp;ys</source>
        <translation>Lupa como panel fijo</translation>
    </message>
    <message>
        <source>&amp;Open joint file…</source>
        <translation>&amp;Abrir archivo de junta…</translation>
    </message>
    <message>
        <source>Open</source>
        <translation>Abrir</translation>
    </message>
    <message>
        <source>Joint, reading or video (*.json *.avi *.mp4 *.mkv *.mov *.mpg *.webm)</source>
        <translation>Junta, lectura o vídeo (*.json *.avi *.mp4 *.mkv *.mov *.mpg *.webm)</translation>
    </message>
    <message>
        <source>Open &amp;folder or recording…</source>
        <translation>Abrir &amp;carpeta o grabación…</translation>
    </message>
    <message>
        <source>Open a measured folder, or a folder of frames</source>
        <translation>Abrir una carpeta medida o una carpeta de imágenes</translation>
    </message>
    <message>
        <source>Open from a joint &amp;book…</source>
        <translation>Abrir de un &amp;libro de juntas…</translation>
    </message>
    <message>
        <source>&amp;Recent joints</source>
        <translation>Juntas &amp;recientes</translation>
    </message>
    <message>
        <source>Joints of this fo&amp;lder</source>
        <translation>Juntas de esta car&amp;peta</translation>
    </message>
    <message>
        <source>Next &amp;joint of this folder</source>
        <translation>Junta &amp;siguiente de esta carpeta</translation>
    </message>
    <message>
        <source>Pre&amp;vious joint of this folder</source>
        <translation>Junta &amp;anterior de esta carpeta</translation>
    </message>
    <message>
        <source>&amp;New joint…</source>
        <translation>&amp;Nueva junta…</translation>
    </message>
    <message>
        <source>&amp;Facts of this joint…</source>
        <translation>&amp;Datos de esta junta…</translation>
    </message>
    <message>
        <source>&amp;Measure again</source>
        <translation>&amp;Medir de nuevo</translation>
    </message>
    <message>
        <source>Measure &amp;all joints of this folder</source>
        <translation>Medir &amp;todas las juntas de esta carpeta</translation>
    </message>
    <message>
        <source>Save t&amp;his view as a picture…</source>
        <translation>Guardar &amp;esta vista como imagen…</translation>
    </message>
    <message>
        <source>Print this &amp;view…</source>
        <translation>Imprimir esta &amp;vista…</translation>
    </message>
    <message>
        <source>&amp;Copy this view</source>
        <translation>&amp;Copiar esta vista</translation>
    </message>
    <message>
        <source>&amp;Save notes</source>
        <translation>&amp;Guardar notas</translation>
    </message>
    <message>
        <source>&amp;File</source>
        <translation>&amp;Archivo</translation>
    </message>
    <message>
        <source>&amp;Judge…</source>
        <translation>&amp;Juzgar…</translation>
    </message>
    <message>
        <source>&amp;Report…</source>
        <translation>&amp;Informe…</translation>
    </message>
    <message>
        <source>Record and &amp;sign-off…</source>
        <translation>Acta y &amp;firma…</translation>
    </message>
    <message>
        <source>&amp;Trends of a joint book…</source>
        <translation>&amp;Tendencias de un libro de juntas…</translation>
    </message>
    <message>
        <source>&amp;Quit</source>
        <translation>&amp;Salir</translation>
    </message>
    <message>
        <source>&amp;Help</source>
        <translation>Ay&amp;uda</translation>
    </message>
    <message>
        <source>&amp;Handbook</source>
        <translation>&amp;Manual</translation>
    </message>
    <message>
        <source>&amp;Keys</source>
        <translation>&amp;Teclas</translation>
    </message>
    <message>
        <source>Standing &amp;cautions</source>
        <translation>&amp;Advertencias permanentes</translation>
    </message>
    <message>
        <source>Keys</source>
        <translation>Teclas</translation>
    </message>
    <message>
        <source>Arrows</source>
        <translation>Flechas</translation>
    </message>
    <message>
        <source>Move the cross-hair; with Shift by 5 mm</source>
        <translation>Mueven la cruz; con Mayús 5 mm</translation>
    </message>
    <message>
        <source>Page up, down</source>
        <translation>Re Pág, Av Pág</translation>
    </message>
    <message>
        <source>Turn the page by half a line</source>
        <translation>Desplazan la página media línea</translation>
    </message>
    <message>
        <source>Space, Enter</source>
        <translation>Espacio, Intro</translation>
    </message>
    <message>
        <source>Put a point in; end the shape</source>
        <translation>Pone un punto; termina la forma</translation>
    </message>
    <message>
        <source>Wheel, Shift+wheel</source>
        <translation>Rueda, Mayús+rueda</translation>
    </message>
    <message>
        <source>Zoom; turn the page</source>
        <translation>Amplía; desplaza la página</translation>
    </message>
    <message>
        <source>Choose a measured place in the list first (an edge still visible or an indication).</source>
        <translation>Elija primero en la lista un lugar medido (un borde aún visible o una indicación).</translation>
    </message>
    <message>
        <source>Overrule</source>
        <translation>Desestimar</translation>
    </message>
    <message>
        <source>Reason; the measurement stays visible beside it:</source>
        <translation>Motivo; la medición sigue visible al lado:</translation>
    </message>
    <message>
        <source>Cancel</source>
        <translation>Cancelar</translation>
    </message>
    <message>
        <source>That shape needs more points.</source>
        <translation>Esa forma necesita más puntos.</translation>
    </message>
    <message>
        <source>What was measured is never removed; overrule it with a reason.</source>
        <translation>Lo medido nunca se borra; desestímelo con un motivo.</translation>
    </message>
    <message>
        <source>Open the joint first whose report you want.</source>
        <translation>Abra primero la junta cuyo informe quiere.</translation>
    </message>
    <message>
        <source>Report: %1</source>
        <translation>Informe: %1</translation>
    </message>
    <message>
        <source>Open the joint first that goes on record.</source>
        <translation>Abra primero la junta que se va a registrar.</translation>
    </message>
    <message>
        <source>This joint comes from the joint book already; its own files go on record, not what the book lent.</source>
        <translation>Esta junta ya viene del libro de juntas; se registran sus propios archivos, no los que prestó el libro.</translation>
    </message>
    <message>
        <source>There is no further joint in this folder.</source>
        <translation>No hay más juntas en esta carpeta.</translation>
    </message>
    <message>
        <source>Open a joint first; the joints beside it can then be stepped through.</source>
        <translation>Abra primero una junta; después se puede pasar a las que están a su lado.</translation>
    </message>
    <message>
        <source>Open a joint first; the joints beside it can then be measured.</source>
        <translation>Abra primero una junta; después se pueden medir las que están a su lado.</translation>
    </message>
    <message>
        <source>%1 of %2 joints were measured now.</source>
        <translation>Ahora se midieron %1 de %2 juntas.</translation>
    </message>
    <message>
        <source>Not measured: %1</source>
        <translation>Sin medir: %1</translation>
    </message>
    <message>
        <source>Measuring the joints of this folder</source>
        <translation>Midiendo las juntas de esta carpeta</translation>
    </message>
    <message>
        <source>Something is still being done; wait for it or stop it.</source>
        <translation>Aún hay un trabajo en marcha; espere o deténgalo.</translation>
    </message>
    <message>
        <source>Open the joint first whose picture you want.</source>
        <translation>Abra primero la junta cuya imagen quiere.</translation>
    </message>
    <message>
        <source>Picture of this view</source>
        <translation>Imagen de esta vista</translation>
    </message>
    <message>
        <source>%1 cannot be written.</source>
        <translation>No se puede escribir %1.</translation>
    </message>
    <message>
        <source>Written: %1</source>
        <translation>Escrito: %1</translation>
    </message>
    <message>
        <source>The view went to the printer.</source>
        <translation>La vista se envió a la impresora.</translation>
    </message>
    <message>
        <source>&amp;Recording</source>
        <translation>&amp;Grabación</translation>
    </message>
    <message>
        <source>&amp;Play from the frame that shows this place</source>
        <translation>Re&amp;producir desde la imagen que muestra este lugar</translation>
    </message>
    <message>
        <source>Play the moment this place was &amp;welded</source>
        <translation>Reproducir el momento en que se &amp;soldó este lugar</translation>
    </message>
    <message>
        <source>&amp;Add a recording to this joint…</source>
        <translation>&amp;Añadir una grabación a esta junta…</translation>
    </message>
    <message>
        <source>&amp;Follow a camera live…</source>
        <translation>&amp;Seguir una cámara en directo…</translation>
    </message>
    <message>
        <source>Ca&amp;librate a camera from board pictures…</source>
        <translation>Ca&amp;librar una cámara con imágenes de un tablero…</translation>
    </message>
    <message>
        <source>Sort a re&amp;cording…</source>
        <translation>&amp;Clasificar una grabación…</translation>
    </message>
    <message>
        <source>Recording to sort into stretches</source>
        <translation>Grabación que se clasifica en tramos</translation>
    </message>
    <message>
        <source>Video (*.avi *.mp4 *.mkv *.mov *.mpg *.webm)</source>
        <translation>Vídeo (*.avi *.mp4 *.mkv *.mov *.mpg *.webm)</translation>
    </message>
    <message>
        <source>No frame saw this place.</source>
        <translation>Ningún fotograma vio este lugar.</translation>
    </message>
    <message>
        <source>This place was seen in the still picture %1; only a video can be played.</source>
        <translation>Este lugar se vio en la imagen fija %1; solo un vídeo puede reproducirse.</translation>
    </message>
    <message>
        <source>%1 from frame %2, which shows %3</source>
        <translation>%1 desde la imagen %2, que muestra %3</translation>
    </message>
    <message>
        <source>No recording of the welding was followed for this joint; `rootscroll arc` does that and its arc.json belongs beside the joint file.</source>
        <translation>No se ha seguido ninguna grabación de la soldadura de esta junta; lo hace `rootscroll arc` y su arc.json va junto al archivo de la junta.</translation>
    </message>
    <message>
        <source>Open the joint first whose facts you want to see.</source>
        <translation>Abra primero la junta cuyos datos quiere ver.</translation>
    </message>
    <message>
        <source>Open the joint first to which the recording belongs.</source>
        <translation>Abra primero la junta a la que pertenece la grabación.</translation>
    </message>
    <message>
        <source>A camera is followed already; stop it first.</source>
        <translation>Ya se sigue una cámara; párela primero.</translation>
    </message>
    <message>
        <source>&amp;Words and lens of the later one</source>
        <translation>&amp;Palabras y lupa de la posterior</translation>
    </message>
    <message>
        <source>Open the &amp;later one</source>
        <translation>Abrir la poste&amp;rior</translation>
    </message>
    <message>
        <source>Progress</source>
        <translation>Progreso</translation>
    </message>
    <message>
        <source>What to look at</source>
        <translation>Qué mirar</translation>
    </message>
    <message>
        <source>What to look at. Enter goes there.</source>
        <translation>Qué mirar. Intro va allí.</translation>
    </message>
    <message>
        <source>What is known at the cross-hair</source>
        <translation>Lo que se sabe en la cruz</translation>
    </message>
    <message>
        <source>&amp;Measure and compare</source>
        <translation>&amp;Medir y comparar</translation>
    </message>
    <message>
        <source>Close</source>
        <translation>Cerrar</translation>
    </message>
    <message>
        <source>%1 has not been measured yet.</source>
        <translation>%1 aún no se ha medido.</translation>
    </message>
    <message>
        <source>&amp;Measure now</source>
        <translation>&amp;Medir ahora</translation>
    </message>
    <message>
        <source>No joint is open.</source>
        <translation>No hay ninguna junta abierta.</translation>
    </message>
    <message>
        <source>%1: not measured yet, so that there is nothing to show.</source>
        <translation>%1: aún no se ha medido, así que no hay nada que mostrar.</translation>
    </message>
    <message>
        <source>from the joint book: %1</source>
        <translation>del libro de juntas: %1</translation>
    </message>
    <message>
        <source>&lt;p&gt;Open a joint file to begin. F1 lists all keys.&lt;/p&gt;</source>
        <translation>&lt;p&gt;Abra un archivo de junta para empezar. F1 muestra todas las teclas.&lt;/p&gt;</translation>
    </message>
</context>
<context>
    <name>app::viewer::MarkPicture</name>
    <message>
        <source>Picture; a click sets a point on the chosen mark</source>
        <translation>Imagen; un clic pone un punto en la marca elegida</translation>
    </message>
</context>
<context>
    <name>app::viewer::MarksSheet</name>
    <message>
        <source>Calibrate a camera in a pipe of known bore</source>
        <translation>Calibrar una cámara en un tubo de diámetro conocido</translation>
    </message>
    <message>
        <source>Pictures along the pipe</source>
        <translation>Imágenes a lo largo del tubo</translation>
    </message>
    <message>
        <source>Drop three or more pictures along the pipe here, from different distances. In each, click eight or more points around the nearer mark and around the farther one; the other mouse button takes a point away.</source>
        <translation>Suelte aquí tres o más imágenes a lo largo del tubo, desde distancias distintas. En cada una, haga clic en ocho o más puntos alrededor de la marca cercana y de la lejana; el otro botón del ratón quita un punto.</translation>
    </message>
    <message>
        <source>%1
%2 and %3 points</source>
        <translation>%1
%2 y %3 puntos</translation>
    </message>
    <message>
        <source>Inside &amp;diameter, mm</source>
        <translation>&amp;Diámetro interior, mm</translation>
    </message>
    <message>
        <source>Its standard uncertainty, mm</source>
        <translation>Su incertidumbre típica, mm</translation>
    </message>
    <message>
        <source>From mark to mark &amp;along the pipe, mm</source>
        <translation>De marca a marca &amp;a lo largo del tubo, mm</translation>
    </message>
    <message>
        <source>Its standard uncertainty, lean of the rings with it, mm</source>
        <translation>Su incertidumbre típica, con la inclinación de los anillos, mm</translation>
    </message>
    <message>
        <source>Points of the &amp;nearer mark (circles)</source>
        <translation>Puntos de la marca &amp;cercana (círculos)</translation>
    </message>
    <message>
        <source>Points of the &amp;farther mark (squares)</source>
        <translation>Puntos de la marca &amp;lejana (cuadrados)</translation>
    </message>
    <message>
        <source>Add &amp;pictures…</source>
        <translation>Añadir &amp;imágenes…</translation>
    </message>
    <message>
        <source>&amp;Calibrate</source>
        <translation>Cali&amp;brar</translation>
    </message>
    <message>
        <source>%1 is not a picture.</source>
        <translation>%1 no es una imagen.</translation>
    </message>
    <message>
        <source>%1 is not of the first picture&apos;s size.</source>
        <translation>%1 no tiene el tamaño de la primera imagen.</translation>
    </message>
    <message>
        <source>Drop the pictures first, then mark them.</source>
        <translation>Suelte primero las imágenes y márquelas después.</translation>
    </message>
    <message>
        <source>Points lie %1 px off on the whole. A sight&apos;s angle is known to ±%2 degrees (k = 2), from %3 to %4 degrees from the axis; no sight beyond is used. A board tells more.</source>
        <translation>Los puntos se apartan %1 px en conjunto. El ángulo de una visual se conoce a ±%2 grados (k = 2), de %3 a %4 grados respecto al eje; más allá no se usa ninguna. Un tablero dice más.</translation>
    </message>
    <message>
        <source>Fitting the lens</source>
        <translation>Ajustando la lente</translation>
    </message>
    <message>
        <source>Something is still being done; wait for it or stop it.</source>
        <translation>Aún hay algo en curso; espere o deténgalo.</translation>
    </message>
</context>
<context>
    <name>app::viewer::NewJointSheet</name>
    <message>
        <source>New joint</source>
        <translation>Nueva junta</translation>
    </message>
    <message>
        <source>&amp;Joint</source>
        <translation>&amp;Junta</translation>
    </message>
    <message>
        <source>&amp;Inside diameter, mm</source>
        <translation>&amp;Diámetro interior, mm</translation>
    </message>
    <message>
        <source>bore gauge</source>
        <translation>alesómetro</translation>
    </message>
    <message>
        <source>&amp;Source of the diameter</source>
        <translation>&amp;Origen del diámetro</translation>
    </message>
    <message>
        <source>choose one</source>
        <translation>elija uno</translation>
    </message>
    <message>
        <source>&amp;Criterion</source>
        <translation>&amp;Criterio</translation>
    </message>
    <message>
        <source>Choose the camera from the library, or its file. All else can be added later: File, Facts of this joint.</source>
        <translation>Elija la cámara de la biblioteca o su archivo. Todo lo demás puede añadirse después: Archivo, Datos de esta junta.</translation>
    </message>
    <message>
        <source>&amp;Frames…</source>
        <translation>&amp;Fotogramas…</translation>
    </message>
    <message>
        <source>Frames of the recording</source>
        <translation>Fotogramas de la grabación</translation>
    </message>
    <message>
        <source>none; pictures of the same weld taken from the other side</source>
        <translation>ninguno; imágenes de la misma soldadura tomadas desde el otro lado</translation>
    </message>
    <message>
        <source>Frames loo&amp;king back…</source>
        <translation>Imágenes hacia a&amp;trás…</translation>
    </message>
    <message>
        <source>Frames that look the other way</source>
        <translation>Imágenes que miran al revés</translation>
    </message>
    <message>
        <source>Joint &amp;file</source>
        <translation>&amp;Archivo de junta</translation>
    </message>
    <message>
        <source>S&amp;tage</source>
        <translation>F&amp;ase</translation>
    </message>
    <message>
        <source>+z, from piece a to piece b</source>
        <translation>+z, de la pieza a a la pieza b</translation>
    </message>
    <message>
        <source>-z, from piece b to piece a</source>
        <translation>-z, de la pieza b a la pieza a</translation>
    </message>
    <message>
        <source>sideways</source>
        <translation>de lado</translation>
    </message>
    <message>
        <source>Camera &amp;looked</source>
        <translation>La cámara &amp;miraba</translation>
    </message>
    <message>
        <source>C&amp;amera file…</source>
        <translation>&amp;Archivo de cámara…</translation>
    </message>
    <message>
        <source>Calibrated camera</source>
        <translation>Cámara calibrada</translation>
    </message>
    <message>
        <source>Camera from the li&amp;brary</source>
        <translation>Cámara de la &amp;biblioteca</translation>
    </message>
    <message>
        <source>Frames or video</source>
        <translation>Imágenes o vídeo</translation>
    </message>
    <message>
        <source>Camera file</source>
        <translation>Archivo de cámara</translation>
    </message>
    <message>
        <source>Which way the camera looked</source>
        <translation>Hacia dónde miraba la cámara</translation>
    </message>
    <message>
        <source>Inside diameter in mm</source>
        <translation>Diámetro interior en mm</translation>
    </message>
    <message>
        <source>Say which frames or video belong to the joint.</source>
        <translation>Diga qué imágenes o qué vídeo pertenecen a la junta.</translation>
    </message>
    <message>
        <source>Give the camera&apos;s file: without a calibrated camera nothing can be measured.</source>
        <translation>Indique el archivo de la cámara: sin una cámara calibrada no se puede medir nada.</translation>
    </message>
    <message>
        <source>Say where the joint file is to be written.</source>
        <translation>Indique dónde se escribirá el archivo de junta.</translation>
    </message>
    <message>
        <source>That file exists already; choose another name.</source>
        <translation>Ese archivo ya existe; elija otro nombre.</translation>
    </message>
</context>
<context>
    <name>app::viewer::NoteSheet</name>
    <message>
        <source>Note: %1</source>
        <translation>Nota: %1</translation>
    </message>
    <message>
        <source>At</source>
        <translation>En</translation>
    </message>
    <message>
        <source>Length (k = 2)</source>
        <translation>Longitud (k = 2)</translation>
    </message>
    <message>
        <source>Width (k = 2)</source>
        <translation>Ancho (k = 2)</translation>
    </message>
    <message>
        <source>&amp;Kind</source>
        <translation>&amp;Tipo</translation>
    </message>
    <message>
        <source>&amp;Text</source>
        <translation>&amp;Texto</translation>
    </message>
    <message>
        <source>An accepted note of a judged kind counts in the verdict; a rejected one needs a reason.</source>
        <translation>Una nota aceptada de un tipo que se juzga cuenta en el dictamen; una rechazada necesita un motivo.</translation>
    </message>
    <message>
        <source>&amp;Status</source>
        <translation>&amp;Estado</translation>
    </message>
    <message>
        <source>&amp;Reason</source>
        <translation>&amp;Motivo</translation>
    </message>
    <message>
        <source>&amp;Author</source>
        <translation>&amp;Autor</translation>
    </message>
    <message>
        <source>A rejected note needs a reason.</source>
        <translation>Una nota rechazada necesita un motivo.</translation>
    </message>
    <message>
        <source>A text note needs a text.</source>
        <translation>Una nota de texto necesita un texto.</translation>
    </message>
</context>
<context>
    <name>app::viewer::PageView</name>
    <message>
        <source>film</source>
        <translation>película</translation>
    </message>
    <message>
        <source>a person</source>
        <translation>una persona</translation>
    </message>
    <message>
        <source>no reason given</source>
        <translation>sin motivo indicado</translation>
    </message>
    <message>
        <source>overruled by %1 because: %2</source>
        <translation>desestimado por %1 porque: %2</translation>
    </message>
    <message>
        <source>by hand, %1, because: %2</source>
        <translation>a mano, %1, porque: %2</translation>
    </message>
    <message>
        <source>after %1, %2</source>
        <translation>después %1, %2</translation>
    </message>
    <message>
        <source>stop %1 s</source>
        <translation>parada %1 s</translation>
    </message>
    <message>
        <source>No. %1</source>
        <translation>N.º %1</translation>
    </message>
    <message>
        <source>%1 mm rel.</source>
        <translation>%1 mm rel.</translation>
    </message>
    <message>
        <source>%1° rel.</source>
        <translation>%1° rel.</translation>
    </message>
    <message>
        <source>by hand</source>
        <translation>a mano</translation>
    </message>
    <message>
        <source>not measurable from this recording</source>
        <translation>no medible con esta grabación</translation>
    </message>
    <message>
        <source>Strip of the inside wall</source>
        <translation>Tira de la pared interior</translation>
    </message>
    <message>
        <source>The whole circumference as lines of a page; arrows move the cross-hair</source>
        <translation>Toda la circunferencia como líneas de una página; las flechas mueven la cruz</translation>
    </message>
    <message>
        <source>after</source>
        <translation>después</translation>
    </message>
    <message>
        <source>before</source>
        <translation>antes</translation>
    </message>
    <message>
        <source>No weld was found in this recording: there is no strip.</source>
        <translation>No se encontró soldadura en esta grabación: no hay tira.</translation>
    </message>
    <message>
        <source>%1 has not been measured yet.</source>
        <translation>%1 aún no se ha medido.</translation>
    </message>
    <message>
        <source>Open a joint file (Ctrl+O), a measured folder, a folder of frames or a video, or drop one here.</source>
        <translation>Abra un archivo de junta (Ctrl+O), una carpeta medida, una carpeta de imágenes o un vídeo, o suéltelo aquí.</translation>
    </message>
</context>
<context>
    <name>app::viewer::PagesView</name>
    <message>
        <source>Pages of the record</source>
        <translation>Páginas del acta</translation>
    </message>
    <message>
        <source>Page %1 of %2</source>
        <translation>Página %1 de %2</translation>
    </message>
</context>
<context>
    <name>app::viewer::RecordSheet</name>
    <message>
        <source>1. &amp;Put on record</source>
        <translation>1. &amp;Registrar</translation>
    </message>
    <message>
        <source>2. &amp;Sign what the pages show</source>
        <translation>2. &amp;Firmar lo que muestran las páginas</translation>
    </message>
    <message>
        <source>3. &amp;Write the record</source>
        <translation>3. &amp;Escribir el acta</translation>
    </message>
    <message>
        <source>Record and sign-off: %1</source>
        <translation>Acta y firma: %1</translation>
    </message>
    <message>
        <source>The joint comes into the book with its pictures and is measured there once more. %1</source>
        <translation>La junta entra en el libro con sus imágenes y allí se mide otra vez. %1</translation>
    </message>
    <message>
        <source>Choose…</source>
        <translation>Elegir…</translation>
    </message>
    <message>
        <source>Choose the book</source>
        <translation>Elegir el libro</translation>
    </message>
    <message>
        <source>Joint book</source>
        <translation>Libro de juntas</translation>
    </message>
    <message>
        <source>a file, made where there is none</source>
        <translation>un archivo; si no existe, se crea</translation>
    </message>
    <message>
        <source>Joint book; a new name makes a new one</source>
        <translation>Libro de juntas; un nombre nuevo crea uno nuevo</translation>
    </message>
    <message>
        <source>Cycle</source>
        <translation>Ciclo</translation>
    </message>
    <message>
        <source>R0 the first weld, R1 the first repair</source>
        <translation>R0 la primera soldadura, R1 la primera reparación</translation>
    </message>
    <message>
        <source>Recording</source>
        <translation>Grabación</translation>
    </message>
    <message>
        <source>Welder</source>
        <translation>Soldador</translation>
    </message>
    <message>
        <source>not known</source>
        <translation>no se conoce</translation>
    </message>
    <message>
        <source>Welded on</source>
        <translation>Soldada el</translation>
    </message>
    <message>
        <source>Your name</source>
        <translation>Su nombre</translation>
    </message>
    <message>
        <source>examined</source>
        <translation>examinada</translation>
    </message>
    <message>
        <source>approved</source>
        <translation>aprobada</translation>
    </message>
    <message>
        <source>What you sign</source>
        <translation>Qué firma</translation>
    </message>
    <message>
        <source>Role</source>
        <translation>Función</translation>
    </message>
    <message>
        <source>as the code in force calls it</source>
        <translation>como la llama el código vigente</translation>
    </message>
    <message>
        <source>Qualification</source>
        <translation>Cualificación</translation>
    </message>
    <message>
        <source>method, level, certificate</source>
        <translation>método, nivel, certificado</translation>
    </message>
    <message>
        <source>valid to</source>
        <translation>válida hasta</translation>
    </message>
    <message>
        <source>Vision test on</source>
        <translation>Prueba de visión el</translation>
    </message>
    <message>
        <source>Examination procedure</source>
        <translation>Procedimiento de examen</translation>
    </message>
    <message>
        <source>its number</source>
        <translation>su número</translation>
    </message>
    <message>
        <source>Light level</source>
        <translation>Nivel de luz</translation>
    </message>
    <message>
        <source>as measured, such as 1100 lx at the root</source>
        <translation>medido, por ejemplo 1100 lx en la raíz</translation>
    </message>
    <message>
        <source>Resolution shown</source>
        <translation>Resolución demostrada</translation>
    </message>
    <message>
        <source>how it was demonstrated</source>
        <translation>cómo se demostró</translation>
    </message>
    <message>
        <source>Statement</source>
        <translation>Declaración</translation>
    </message>
    <message>
        <source>what you sign, in your own words</source>
        <translation>lo que firma, con sus propias palabras</translation>
    </message>
    <message>
        <source>Choose the key</source>
        <translation>Elegir la clave</translation>
    </message>
    <message>
        <source>Your key</source>
        <translation>Su clave</translation>
    </message>
    <message>
        <source>a file, or a token&apos;s address</source>
        <translation>un archivo o la dirección de un token</translation>
    </message>
    <message>
        <source>Passphrase or PIN</source>
        <translation>Contraseña o PIN</translation>
    </message>
    <message>
        <source>Make a new key</source>
        <translation>Crear una clave nueva</translation>
    </message>
    <message>
        <source>once more</source>
        <translation>otra vez</translation>
    </message>
    <message>
        <source>only for a new key</source>
        <translation>solo para una clave nueva</translation>
    </message>
    <message>
        <source>Key registered by</source>
        <translation>Clave inscrita por</translation>
    </message>
    <message>
        <source>who answers for it; the first time only</source>
        <translation>quien responde por ella; solo la primera vez</translation>
    </message>
    <message>
        <source>Record into the folder</source>
        <translation>Acta en la carpeta</translation>
    </message>
    <message>
        <source>Something is still being done; wait for it or stop it.</source>
        <translation>Aún hay un trabajo en marcha; espere o deténgalo.</translation>
    </message>
    <message>
        <source>Give the joint book: a file, or the address of a server.</source>
        <translation>Indique el libro de juntas: un archivo o la dirección de un servidor.</translation>
    </message>
    <message>
        <source>Give your name: it stands beside every change of the record.</source>
        <translation>Indique su nombre: consta junto a cada cambio del acta.</translation>
    </message>
    <message>
        <source>Putting the joint on record</source>
        <translation>Registrando la junta</translation>
    </message>
    <message>
        <source>Stopped; what is in the book already stays there.</source>
        <translation>Detenido; lo que ya está en el libro se queda allí.</translation>
    </message>
    <message>
        <source>%1, revision %2: %3. Signatures on it: %4. Look through all pages before you sign. Seal of the book, to be noted outside it: %5</source>
        <translation>%1, revisión %2: %3. Firmas en ella: %4. Mire todas las páginas antes de firmar. Sello del libro, para anotarlo fuera de él: %5</translation>
    </message>
    <message>
        <source>Say where the new key is to lie.</source>
        <translation>Diga dónde ha de estar la clave nueva.</translation>
    </message>
    <message>
        <source>A key without a passphrase signs for whoever finds the file; give one.</source>
        <translation>Una clave sin contraseña firma por quien encuentre el archivo; indique una.</translation>
    </message>
    <message>
        <source>The two passphrases differ; type both again.</source>
        <translation>Las dos contraseñas no coinciden; escríbalas de nuevo.</translation>
    </message>
    <message>
        <source>The key lies there, locked by its passphrase, which nobody can tell you again. Fingerprint: %1</source>
        <translation>La clave está allí, cerrada con su contraseña, que nadie podrá decirle de nuevo. Huella: %1</translation>
    </message>
    <message>
        <source>Signing</source>
        <translation>Firmando</translation>
    </message>
    <message>
        <source>Say into which folder the record goes.</source>
        <translation>Diga en qué carpeta va el acta.</translation>
    </message>
    <message>
        <source>Writing the record</source>
        <translation>Escribiendo el acta</translation>
    </message>
    <message>
        <source>Written: %1</source>
        <translation>Escrito: %1</translation>
    </message>
</context>
<context>
    <name>app::viewer::ReportSheet</name>
    <message>
        <source>&amp;Inches beside millimetres</source>
        <translation>&amp;Pulgadas junto a los milímetros</translation>
    </message>
    <message>
        <source>&amp;Write the report</source>
        <translation>&amp;Escribir el informe</translation>
    </message>
    <message>
        <source>Report</source>
        <translation>Informe</translation>
    </message>
    <message>
        <source>Choose…</source>
        <translation>Elegir…</translation>
    </message>
    <message>
        <source>Choose: %1</source>
        <translation>Elegir: %1</translation>
    </message>
    <message>
        <source>Into the &amp;folder</source>
        <translation>En la &amp;carpeta</translation>
    </message>
    <message>
        <source>Folder of the report</source>
        <translation>Carpeta del informe</translation>
    </message>
    <message>
        <source>Page</source>
        <translation>Página</translation>
    </message>
    <message>
        <source>&amp;Page</source>
        <translation>&amp;Página</translation>
    </message>
    <message>
        <source>Language of the record</source>
        <translation>Idioma del acta</translation>
    </message>
    <message>
        <source>&amp;Language of the record</source>
        <translation>I&amp;dioma del acta</translation>
    </message>
    <message>
        <source>&amp;Company&apos;s paper</source>
        <translation>Papel de la e&amp;mpresa</translation>
    </message>
    <message>
        <source>Company&apos;s paper</source>
        <translation>Papel de la empresa</translation>
    </message>
    <message>
        <source>none</source>
        <translation>ninguno</translation>
    </message>
    <message>
        <source>P&amp;rint…</source>
        <translation>Imp&amp;rimir…</translation>
    </message>
    <message>
        <source>Say into which folder the report goes.</source>
        <translation>Diga en qué carpeta va el informe.</translation>
    </message>
    <message>
        <source>Written: %1</source>
        <translation>Escrito: %1</translation>
    </message>
    <message>
        <source>The pages are still being set; try again in a moment.</source>
        <translation>Las páginas aún se están componiendo; inténtelo de nuevo en un momento.</translation>
    </message>
    <message>
        <source>%1 pages went to the printer.</source>
        <translation>%1 páginas se enviaron a la impresora.</translation>
    </message>
</context>
<context>
    <name>app::viewer::SectionView</name>
    <message>
        <source>Section across the bead at the cross-hair</source>
        <translation>Sección del cordón en la cruz</translation>
    </message>
    <message>
        <source>Across the bead, the bore above. Line: the measured surface; band: its expanded uncertainty (k = 2); dotted: the chord from toe to toe, each on its own wall&apos;s level; gaps were not measured.</source>
        <translation>A través del cordón, el interior del tubo arriba. Línea: la superficie medida; banda: su incertidumbre expandida (k = 2); punteada: la cuerda de pie a pie, cada uno al nivel de su pared; los huecos no se midieron.</translation>
    </message>
    <message>
        <source>Profile: %1</source>
        <translation>Perfil: %1</translation>
    </message>
    <message>
        <source>Root reinforcement: %1</source>
        <translation>Sobreespesor de raíz: %1</translation>
    </message>
    <message>
        <source>root reinforcement %1 above the line joining the toes</source>
        <translation>sobreespesor de raíz %1 sobre la línea que une los pies</translation>
    </message>
    <message>
        <source>concavity %1 below it</source>
        <translation>concavidad %1 por debajo</translation>
    </message>
    <message>
        <source>Section at %1</source>
        <translation>Sección en %1</translation>
    </message>
    <message>
        <source>bore above; heights enlarged %1 times</source>
        <translation>interior arriba; alturas ampliadas %1 veces</translation>
    </message>
    <message>
        <source>bore above; heights and widths to one scale</source>
        <translation>interior arriba; alturas y anchos a una misma escala</translation>
    </message>
</context>
<context>
    <name>app::viewer::TimelineBand</name>
    <message>
        <source>The recording in time</source>
        <translation>La grabación en el tiempo</translation>
    </message>
    <message>
        <source>measure weld %1 by this</source>
        <translation>medir la soldadura %1 con esto</translation>
    </message>
</context>
<context>
    <name>app::viewer::TimelineFrame</name>
    <message>
        <source>A click takes the frame away (Esc)</source>
        <translation>Un clic retira el fotograma (Esc)</translation>
    </message>
</context>
<context>
    <name>app::viewer::TimelineView</name>
    <message>
        <source>&amp;Measure this stretch</source>
        <translation>&amp;Medir este tramo</translation>
    </message>
    <message>
        <source>Which weld&apos;s stretch</source>
        <translation>El tramo de qué soldadura</translation>
    </message>
    <message>
        <source>Put the band away</source>
        <translation>Retirar la banda</translation>
    </message>
    <message>
        <source>Sorting the recording</source>
        <translation>Clasificando la grabación</translation>
    </message>
    <message>
        <source>Sorting was stopped; nothing was changed.</source>
        <translation>Se detuvo la clasificación; no ha cambiado nada.</translation>
    </message>
    <message>
        <source>Other work is under way; sort the recording when it has ended.</source>
        <translation>Hay otro trabajo en curso; clasifique la grabación cuando termine.</translation>
    </message>
    <message>
        <source>weld %1, %2</source>
        <translation>soldadura %1, %2</translation>
    </message>
    <message>
        <source>Takes the sharpest frames of the stretch as pictures beside the recording, then measures them</source>
        <translation>Toma los fotogramas más nítidos del tramo como imágenes junto a la grabación y los mide</translation>
    </message>
    <message>
        <source>No stretch is fit for measuring; the band says why under the mouse</source>
        <translation>Ningún tramo sirve para medir; la banda dice por qué bajo el ratón</translation>
    </message>
    <message>
        <source>Taking the stretch</source>
        <translation>Tomando el tramo</translation>
    </message>
    <message>
        <source>Taking the stretch was stopped.</source>
        <translation>Se detuvo la toma del tramo.</translation>
    </message>
</context>
<context>
    <name>app::viewer::TimelineWords</name>
    <message>
        <source>travelling</source>
        <translation>en marcha</translation>
    </message>
    <message>
        <source>at a weld</source>
        <translation>en una soldadura</translation>
    </message>
    <message>
        <source>welding</source>
        <translation>soldando</translation>
    </message>
    <message>
        <source>lights off</source>
        <translation>luces apagadas</translation>
    </message>
    <message>
        <source>blurred</source>
        <translation>borroso</translation>
    </message>
    <message>
        <source>not a view along a bore</source>
        <translation>no es una vista a lo largo de un tubo</translation>
    </message>
    <message>
        <source>damaged</source>
        <translation>dañado</translation>
    </message>
    <message>
        <source>tr</source>
        <translation>ma</translation>
    </message>
    <message>
        <source>w</source>
        <translation>s</translation>
    </message>
    <message>
        <source>arc</source>
        <translation>arco</translation>
    </message>
    <message>
        <source>off</source>
        <translation>ap</translation>
    </message>
    <message>
        <source>bl</source>
        <translation>bo</translation>
    </message>
    <message>
        <source>no</source>
        <translation>no</translation>
    </message>
    <message>
        <source>dam</source>
        <translation>da</translation>
    </message>
    <message>
        <source>%1 to %2</source>
        <translation>%1 a %2</translation>
    </message>
    <message>
        <source>the arc is on</source>
        <translation>el arco está encendido</translation>
    </message>
    <message>
        <source>no weld in sight</source>
        <translation>no se ve ninguna soldadura</translation>
    </message>
    <message>
        <source>glare over more than %1 % of the weld</source>
        <translation>reflejos en más del %1 % de la soldadura</translation>
    </message>
    <message>
        <source>glare over more than %1 % of the wall</source>
        <translation>reflejos en más del %1 % de la pared</translation>
    </message>
    <message>
        <source>too far: more than %1 bore radii from the weld</source>
        <translation>demasiado lejos: a más de %1 radios interiores de la soldadura</translation>
    </message>
    <message>
        <source>too near: less than %1 bore radii from the weld</source>
        <translation>demasiado cerca: a menos de %1 radios interiores de la soldadura</translation>
    </message>
    <message>
        <source>shorter than %1 s</source>
        <translation>dura menos de %1 s</translation>
    </message>
    <message>
        <source>usable, but less sharp or farther than the one proposed</source>
        <translation>utilizable, pero menos nítido o más lejano que el propuesto</translation>
    </message>
    <message>
        <source>Writing or a mark is burned into the picture</source>
        <translation>Hay texto o una marca grabada en la imagen</translation>
    </message>
    <message>
        <source>Proposed for measuring weld %1.</source>
        <translation>Propuesto para medir la soldadura %1.</translation>
    </message>
    <message>
        <source>Not proposed for weld %1: %2.</source>
        <translation>No propuesto para la soldadura %1: %2.</translation>
    </message>
    <message>
        <source>%1, %2 long. Looks at a weld: %3; with a stretch fit for measuring: %4.</source>
        <translation>%1, dura %2. Miradas a una soldadura: %3; con un tramo apto para medir: %4.</translation>
    </message>
    <message>
        <source>Writing or marks burned into the picture: dotted line under the band, boxed in the frame shown.</source>
        <translation>Texto o marcas grabados en la imagen: línea de puntos bajo la banda, recuadrados en el fotograma mostrado.</translation>
    </message>
    <message>
        <source>No joint file names this recording: the lens was guessed, distances are not known.</source>
        <translation>Ningún archivo de junta nombra esta grabación: el objetivo se ha supuesto y las distancias no se conocen.</translation>
    </message>
</context>
<context>
    <name>app::viewer::ToeSheet</name>
    <message>
        <source>Toe by hand</source>
        <translation>Pie a mano</translation>
    </message>
    <message>
        <source>At</source>
        <translation>En</translation>
    </message>
    <message>
        <source>&amp;One more placing of the toe set here before (%1 of %2)</source>
        <translation>&amp;Otra colocación del pie puesto aquí antes (%1 de %2)</translation>
    </message>
    <message>
        <source>why the measured one is not right</source>
        <translation>por qué no es correcto el medido</translation>
    </message>
    <message>
        <source>&amp;Reason</source>
        <translation>&amp;Motivo</translation>
    </message>
    <message>
        <source>How well a hand finds a toe is assumed, ± %1 mm (k = 2), until the same stretch is placed %2 times; then it comes from how far the placings lie apart. The measured toe stays visible.</source>
        <translation>Lo bien que una mano encuentra un pie se supone, ± %1 mm (k = 2), hasta que el mismo tramo se haya puesto %2 veces; entonces sale de lo que distan las colocaciones. El pie medido sigue visible.</translation>
    </message>
    <message>
        <source>A toe set by hand needs a reason.</source>
        <translation>Un pie puesto a mano necesita un motivo.</translation>
    </message>
</context>
<context>
    <name>app::viewer::TrendsSheet</name>
    <message>
        <source>en</source>
        <translation>es</translation>
    </message>
    <message>
        <source>Save as &amp;CSV…</source>
        <translation>Guardar como &amp;CSV…</translation>
    </message>
    <message>
        <source>Trends of a joint book</source>
        <translation>Tendencias de un libro de juntas</translation>
    </message>
    <message>
        <source>Joint book</source>
        <translation>Libro de juntas</translation>
    </message>
    <message>
        <source>a joint book&apos;s file, or postgresql://user@host/database</source>
        <translation>archivo de un libro de juntas, o postgresql://usuario@servidor/base</translation>
    </message>
    <message>
        <source>&amp;Book…</source>
        <translation>&amp;Libro…</translation>
    </message>
    <message>
        <source>&amp;Show</source>
        <translation>&amp;Mostrar</translation>
    </message>
    <message>
        <source>Counts of outcomes over all joints of a book. The book is only read.</source>
        <translation>Recuento de resultados de todas las juntas de un libro. El libro solo se lee.</translation>
    </message>
    <message>
        <source>Folder for the CSV files</source>
        <translation>Carpeta para los archivos CSV</translation>
    </message>
    <message>
        <source>Give the joint book: a file, or the address of a server.</source>
        <translation>Indique el libro de juntas: un archivo o la dirección de un servidor.</translation>
    </message>
    <message>
        <source>Reading the book</source>
        <translation>Lectura del libro</translation>
    </message>
    <message>
        <source>Read from %1.</source>
        <translation>Leído de %1.</translation>
    </message>
    <message>
        <source>Reading the book …</source>
        <translation>Leyendo el libro …</translation>
    </message>
    <message>
        <source>Written: %1</source>
        <translation>Escrito: %1</translation>
    </message>
</context>
<context>
    <name>app::viewer::UpPicture</name>
    <message>
        <source>Where is 0 degrees?</source>
        <translation>¿Dónde están los 0 grados?</translation>
    </message>
    <message>
        <source>Click on the wall where the joint&apos;s datum lies (0 degrees, such as top dead centre).</source>
        <translation>Haga clic en la pared donde está la referencia de la junta (0 grados, por ejemplo el punto más alto).</translation>
    </message>
</context>
<context>
    <name>app::viewer::Words</name>
    <message>
        <source>not measurable from this recording</source>
        <translation>no medible con esta grabación</translation>
    </message>
    <message>
        <source>%1 relative</source>
        <translation>%1 relativo</translation>
    </message>
    <message>
        <source>all round</source>
        <translation>todo alrededor</translation>
    </message>
    <message>
        <source>%1 to %2</source>
        <translation>%1 a %2</translation>
    </message>
    <message>
        <source>Width</source>
        <translation>Ancho</translation>
    </message>
    <message>
        <source>Root reinforcement</source>
        <translation>Sobreespesor de raíz</translation>
    </message>
    <message>
        <source>Concavity</source>
        <translation>Concavidad</translation>
    </message>
    <message>
        <source>Misalignment</source>
        <translation>Desalineación</translation>
    </message>
    <message>
        <source>open</source>
        <translation>abierta</translation>
    </message>
    <message>
        <source>accepted</source>
        <translation>aceptada</translation>
    </message>
    <message>
        <source>rejected</source>
        <translation>rechazada</translation>
    </message>
    <message>
        <source>point</source>
        <translation>punto</translation>
    </message>
    <message>
        <source>line</source>
        <translation>línea</translation>
    </message>
    <message>
        <source>box</source>
        <translation>recuadro</translation>
    </message>
    <message>
        <source>outline</source>
        <translation>contorno</translation>
    </message>
    <message>
        <source>text</source>
        <translation>texto</translation>
    </message>
    <message>
        <source>original edge no longer seen (fused)</source>
        <translation>ya no se ve el borde original (fundido)</translation>
    </message>
    <message>
        <source>ORIGINAL EDGE VISIBLE (unfused)</source>
        <translation>BORDE ORIGINAL VISIBLE (sin fundir)</translation>
    </message>
    <message>
        <source>measured: ORIGINAL EDGE VISIBLE (unfused); a person overruled it</source>
        <translation>medido: BORDE ORIGINAL VISIBLE (sin fundir); una persona lo desestimó</translation>
    </message>
    <message>
        <source>ORIGINAL EDGE SEEN BY A PERSON (unfused, not measured)</source>
        <translation>BORDE ORIGINAL VISTO POR UNA PERSONA (sin fundir, no medido)</translation>
    </message>
    <message>
        <source>not visible: not examined</source>
        <translation>no visible: no examinado</translation>
    </message>
    <message>
        <source>a person</source>
        <translation>una persona</translation>
    </message>
    <message>
        <source>no reason given</source>
        <translation>sin motivo indicado</translation>
    </message>
    <message>
        <source>accepted by %1, %2</source>
        <translation>aceptado por %1, %2</translation>
    </message>
    <message>
        <source>overruled by %1, %2, because: %3</source>
        <translation>desestimado por %1, %2, porque: %3</translation>
    </message>
    <message>
        <source>set by hand by %1, %2, because: %3</source>
        <translation>puesto a mano por %1, %2, porque: %3</translation>
    </message>
    <message>
        <source>seen by %1, %2</source>
        <translation>visto por %1, %2</translation>
    </message>
    <message>
        <source>± %1 (k = 2) is assumed until it is placed five times (now %2)</source>
        <translation>± %1 (k = 2) se supone hasta que se ponga cinco veces (ahora %2)</translation>
    </message>
    <message>
        <source>± %1 (k = 2) from %2 placings</source>
        <translation>± %1 (k = 2) de %2 colocaciones</translation>
    </message>
    <message>
        <source>en</source>
        <translation>es</translation>
    </message>
    <message>
        <source>Toe, %1 side: %2</source>
        <translation>Pie, lado %1: %2</translation>
    </message>
    <message>
        <source>Section by the camera&apos;s travel: %1, against %2 (no number; no verdict rests on it)</source>
        <translation>Sección por el avance de la cámara: %1, frente a %2 (sin número; ningún dictamen se apoya en ello)</translation>
    </message>
    <message>
        <source>convex</source>
        <translation>convexa</translation>
    </message>
    <message>
        <source>concave</source>
        <translation>cóncava</translation>
    </message>
    <message>
        <source>flush</source>
        <translation>enrasada</translation>
    </message>
    <message>
        <source>For the eye only: the camera&apos;s place in the bore is not trusted, nothing was measured. Give the mount in the joint file, or set six points on a toe.</source>
        <translation>Solo para la vista: la posición de la cámara en el tubo no es fiable, no se ha medido nada. Indique el montaje en el archivo de la unión o marque seis puntos sobre un pie.</translation>
    </message>
    <message>
        <source>No weld was found in this recording; nothing was measured.</source>
        <translation>No se encontró soldadura en esta grabación; no se midió nada.</translation>
    </message>
    <message>
        <source>%1 side: %2</source>
        <translation>lado %1: %2</translation>
    </message>
    <message>
        <source> — limit %1 (%2)</source>
        <translation> — límite %1 (%2)</translation>
    </message>
    <message>
        <source>not in sight</source>
        <translation>no está a la vista</translation>
    </message>
    <message>
        <source>over 95 %</source>
        <translation>más del 95 %</translation>
    </message>
    <message>
        <source>under 1 %</source>
        <translation>menos del 1 %</translation>
    </message>
    <message>
        <source>%1 %</source>
        <translation>%1 %</translation>
    </message>
    <message>
        <source>the program saw: original edge still there, a %1, b %2 (%3)</source>
        <translation>el programa vio: el borde original sigue ahí, a %1, b %2 (%3)</translation>
    </message>
    <message>
        <source>belt %1 + %2 mm</source>
        <translation>cinta %1 + %2 mm</translation>
    </message>
    <message>
        <source>Not welded in %1.</source>
        <translation>No se soldó en %1.</translation>
    </message>
    <message>
        <source>Welded at %1 in %2 (place ±%3°, k = 2).</source>
        <translation>Soldado en %1 de %2 (lugar ±%3°, k = 2).</translation>
    </message>
    <message>
        <source>Welding stood still for %1 s, arc on, at %2 (%3 in %4)</source>
        <translation>La soldadura se detuvo %1 s, con el arco encendido, en %2 (%3 de %4)</translation>
    </message>
    <message>
        <source>Welding was interrupted for %1 s at %2 (%3 in %4)</source>
        <translation>La soldadura se interrumpió %1 s en %2 (%3 de %4)</translation>
    </message>
    <message>
        <source>&lt;h2&gt;No weld was found in the recording.&lt;/h2&gt;</source>
        <translation>&lt;h2&gt;No se encontró soldadura en la grabación.&lt;/h2&gt;</translation>
    </message>
    <message>
        <source>%1 side, from %2: %3 long</source>
        <translation>lado %1, de %2: %3 de largo</translation>
    </message>
    <message>
        <source>Toe set by hand, %1 side, %2</source>
        <translation>Pie puesto a mano, lado %1, %2</translation>
    </message>
    <message>
        <source>&lt;h2&gt;No original edge of the insert was found where the wall could be seen.&lt;/h2&gt;</source>
        <translation>&lt;h2&gt;No se encontró ningún borde original del inserto donde se veía la pared.&lt;/h2&gt;</translation>
    </message>
    <message>
        <source>NOT FUSED: the insert&apos;s edge is still visible here</source>
        <translation>SIN FUNDIR: el borde del inserto sigue visible aquí</translation>
    </message>
    <message>
        <source>Measured as still visible, overruled by a person:</source>
        <translation>Medido como aún visible, desestimado por una persona:</translation>
    </message>
    <message>
        <source>&lt;p&gt;Not seen: %1° on the %2 side, %3° on the %4 side. Not seen does not mean fused.&lt;/p&gt;</source>
        <translation>&lt;p&gt;Sin ver: %1° en el lado %2, %3° en el lado %4. Sin ver no quiere decir fundido.&lt;/p&gt;</translation>
    </message>
    <message>
        <source>%1   arc inside %2   z %3</source>
        <translation>%1   arco interior %2   z %3</translation>
    </message>
    <message>
        <source>width %1 (k = 2)</source>
        <translation>ancho %1 (k = 2)</translation>
    </message>
    <message>
        <source>width %1</source>
        <translation>ancho %1</translation>
    </message>
    <message>
        <source>The wall as seen from inside, looking along +z (from %1 to %2); %1 at the top of every line; degrees are relative to the picture&apos;s up, not to the joint&apos;s datum: no clock is known</source>
        <translation>La pared vista desde dentro, mirando según +z (de %1 a %2); %1 arriba en cada línea; los grados son relativos a arriba de la imagen, no al origen de la unión: no se conoce ninguna hora</translation>
    </message>
    <message>
        <source>The wall as seen from inside, clock looking along +z (from %1 to %2); %1 at the top of every line</source>
        <translation>La pared vista desde dentro, horas mirando según +z (de %1 a %2); %1 arriba en cada línea</translation>
    </message>
    <message>
        <source>This supports and never replaces the qualified examiner, the contract&apos;s code edition and local rules.</source>
        <translation>Esto apoya y nunca sustituye al examinador cualificado, la edición del código del contrato y las reglas locales.</translation>
    </message>
</context>
<context>
    <name>data</name>
    <message>
        <source>original edge visible (unfused), as measured</source>
        <translation>borde original visible (sin fundir), medido</translation>
    </message>
    <message>
        <source>original edge seen and accepted by a person, not measured</source>
        <translation>borde original visto y aceptado por una persona, no medido</translation>
    </message>
    <message>
        <source>measured as original edge visible, overruled by a person</source>
        <translation>medido como borde original visible, desestimado por una persona</translation>
    </message>
    <message>
        <source>not visible: not examined</source>
        <translation>no visible: no examinado</translation>
    </message>
    <message>
        <source>fused: original edge no longer seen</source>
        <translation>fundido: el borde original ya no se ve</translation>
    </message>
    <message>
        <source>toe, as measured</source>
        <translation>pie, medido</translation>
    </message>
    <message>
        <source>toe, set by hand</source>
        <translation>pie, puesto a mano</translation>
    </message>
    <message>
        <source>indication, as measured</source>
        <translation>indicación, medida</translation>
    </message>
    <message>
        <source>drawn by a person</source>
        <translation>dibujado por una persona</translation>
    </message>
    <message>
        <source>place marked before or while welding</source>
        <translation>lugar marcado antes de soldar o al soldar</translation>
    </message>
    <message>
        <source>welding stopped here</source>
        <translation>aquí se detuvo la soldadura</translation>
    </message>
    <message>
        <source>look here: a sign, no number</source>
        <translation>mire aquí: una señal, ningún número</translation>
    </message>
    <message>
        <source>measured value</source>
        <translation>valor medido</translation>
    </message>
    <message>
        <source>± U, expanded uncertainty (k = 2)</source>
        <translation>± U, incertidumbre expandida (k = 2)</translation>
    </message>
    <message>
        <source>limit of the criterion</source>
        <translation>límite del criterio</translation>
    </message>
    <message>
        <source>line joining the two toes</source>
        <translation>línea que une los dos pies</translation>
    </message>
    <message>
        <source>at a weld</source>
        <translation>en una soldadura</translation>
    </message>
    <message>
        <source>welding: the arc burns</source>
        <translation>soldando: el arco arde</translation>
    </message>
    <message>
        <source>brighter, or higher, in the later recording</source>
        <translation>más claro, o más alto, en la grabación posterior</translation>
    </message>
    <message>
        <source>darker, or lower (gone), in the later recording</source>
        <translation>más oscuro, o más bajo (quitado), en la grabación posterior</translation>
    </message>
    <message>
        <source>seen by the camera so far</source>
        <translation>visto por la cámara hasta ahora</translation>
    </message>
    <message>
        <source>how likely the original edge is still there, as the program saw it</source>
        <translation>lo probable que es que siga el borde original, según lo vio el programa</translation>
    </message>
    <message>
        <source>overruled</source>
        <translation>desestimado</translation>
    </message>
    <message>
        <source>pore</source>
        <translation>poro</translation>
    </message>
    <message>
        <source>lack of root fusion (original edge visible)</source>
        <translation>falta de fusión en la raíz (borde original visible)</translation>
    </message>
    <message>
        <source>incomplete root penetration</source>
        <translation>penetración incompleta de la raíz</translation>
    </message>
    <message>
        <source>crack</source>
        <translation>grieta</translation>
    </message>
    <message>
        <source>crater crack</source>
        <translation>grieta de cráter</translation>
    </message>
    <message>
        <source>surface pore</source>
        <translation>poro superficial</translation>
    </message>
    <message>
        <source>root porosity</source>
        <translation>porosidad en la raíz</translation>
    </message>
    <message>
        <source>crater pipe</source>
        <translation>rechupe de cráter</translation>
    </message>
    <message>
        <source>tungsten inclusion</source>
        <translation>inclusión de wolframio</translation>
    </message>
    <message>
        <source>continuous undercut</source>
        <translation>mordedura continua</translation>
    </message>
    <message>
        <source>intermittent undercut</source>
        <translation>mordedura intermitente</translation>
    </message>
    <message>
        <source>shrinkage groove</source>
        <translation>surco de contracción</translation>
    </message>
    <message>
        <source>excess penetration</source>
        <translation>exceso de penetración</translation>
    </message>
    <message>
        <source>root overlap</source>
        <translation>solapamiento en la raíz</translation>
    </message>
    <message>
        <source>linear misalignment</source>
        <translation>desalineación lineal</translation>
    </message>
    <message>
        <source>sagging</source>
        <translation>descuelgue</translation>
    </message>
    <message>
        <source>burn-through</source>
        <translation>perforación</translation>
    </message>
    <message>
        <source>irregular width</source>
        <translation>ancho irregular</translation>
    </message>
    <message>
        <source>root concavity</source>
        <translation>concavidad de la raíz</translation>
    </message>
    <message>
        <source>poor restart</source>
        <translation>empalme defectuoso</translation>
    </message>
    <message>
        <source>stray arc</source>
        <translation>cebado de arco fuera de la junta</translation>
    </message>
    <message>
        <source>spatter</source>
        <translation>salpicaduras</translation>
    </message>
    <message>
        <source>grinding mark</source>
        <translation>marca de amolado</translation>
    </message>
    <message>
        <source>underflushing</source>
        <translation>rebaje excesivo</translation>
    </message>
    <message>
        <source>temper colour</source>
        <translation>color de revenido</translation>
    </message>
    <message>
        <source>scaled surface</source>
        <translation>superficie con cascarilla</translation>
    </message>
    <message>
        <source>gouge</source>
        <translation>entalla</translation>
    </message>
    <message>
        <source>remark</source>
        <translation>observación</translation>
    </message>
    <message>
        <source>tack weld</source>
        <translation>punto de soldadura</translation>
    </message>
    <message>
        <source>insert ring: butt of its ends</source>
        <translation>anillo: extremos a tope</translation>
    </message>
    <message>
        <source>insert ring: lap of its ends</source>
        <translation>anillo: extremos solapados</translation>
    </message>
    <message>
        <source>tie-in</source>
        <translation>empalme de cierre</translation>
    </message>
    <message>
        <source>stop and start</source>
        <translation>parada y arranque</translation>
    </message>
    <message>
        <source>fit-up gap noted before welding</source>
        <translation>separación de montaje anotada antes de soldar</translation>
    </message>
    <message>
        <source>fit-up misalignment noted before welding</source>
        <translation>desalineación de montaje anotada antes de soldar</translation>
    </message>
    <message>
        <source>within limit</source>
        <translation>dentro del límite</translation>
    </message>
    <message>
        <source>exceeds limit</source>
        <translation>supera el límite</translation>
    </message>
    <message>
        <source>undecided</source>
        <translation>sin decidir</translation>
    </message>
    <message>
        <source>not measured</source>
        <translation>no medido</translation>
    </message>
    <message>
        <source>shown, not evaluated</source>
        <translation>mostrado, sin evaluar</translation>
    </message>
    <message>
        <source>proposed: within</source>
        <translation>propuesta: dentro</translation>
    </message>
    <message>
        <source>proposed: not accepted</source>
        <translation>propuesta: no aceptada</translation>
    </message>
    <message>
        <source>proposed: not decided</source>
        <translation>propuesta: sin decidir</translation>
    </message>
    <message>
        <source>near side dark, far side bright: the look of a concave root. A sign to look, not a depth.</source>
        <translation>lado cercano oscuro, lado lejano brillante: el aspecto de una raíz cóncava. Una señal para mirar, no una profundidad.</translation>
    </message>
    <message>
        <source>Aid to examination. Measurements are indicative unless a valid calibration and a passing gauge study are attached.</source>
        <translation>Ayuda al examen. Las medidas son orientativas salvo que se adjunten una calibración válida y un estudio de medición superado.</translation>
    </message>
    <message>
        <source>Acceptance is the decision of the certified examiner under the contract and its code edition.</source>
        <translation>La aceptación es decisión del examinador certificado según el contrato y su edición del código.</translation>
    </message>
    <message>
        <source>joint</source>
        <translation>junta</translation>
    </message>
    <message>
        <source>pipe</source>
        <translation>tubo</translation>
    </message>
    <message>
        <source>pieces</source>
        <translation>piezas</translation>
    </message>
    <message>
        <source>insert</source>
        <translation>inserto</translation>
    </message>
    <message>
        <source>datum</source>
        <translation>referencia</translation>
    </message>
    <message>
        <source>Up of pictures from a to b, degrees</source>
        <translation>Arriba en las imágenes de a a b, grados</translation>
    </message>
    <message>
        <source>Up of pictures from b to a, degrees</source>
        <translation>Arriba en las imágenes de b a a, grados</translation>
    </message>
    <message>
        <source>Up of pictures sideways, degrees</source>
        <translation>Arriba en las imágenes de lado, grados</translation>
    </message>
    <message>
        <source>Calibrated on</source>
        <translation>Calibrada el</translation>
    </message>
    <message>
        <source>Lens&apos;s serial number</source>
        <translation>Número de serie de la lente</translation>
    </message>
    <message>
        <source>Scale checked before the recording, on</source>
        <translation>Escala comprobada antes de la grabación, el</translation>
    </message>
    <message>
        <source>Scale checked after the recording, on</source>
        <translation>Escala comprobada después de la grabación, el</translation>
    </message>
    <message>
        <source>its known length, mm</source>
        <translation>su longitud conocida, mm</translation>
    </message>
    <message>
        <source>its length as measured, mm</source>
        <translation>su longitud medida, mm</translation>
    </message>
    <message>
        <source>Joint</source>
        <translation>Junta</translation>
    </message>
    <message>
        <source>Line or system</source>
        <translation>Línea o sistema</translation>
    </message>
    <message>
        <source>Base material</source>
        <translation>Material base</translation>
    </message>
    <message>
        <source>Flow</source>
        <translation>Flujo</translation>
    </message>
    <message>
        <source>Camera went in through piece</source>
        <translation>La cámara entró por la pieza</translation>
    </message>
    <message>
        <source>Criterion</source>
        <translation>Criterio</translation>
    </message>
    <message>
        <source>Smallest height of the cap outside, mm</source>
        <translation>Altura mínima del sobreespesor exterior, mm</translation>
    </message>
    <message>
        <source>Minimum wall, mm</source>
        <translation>Pared mínima, mm</translation>
    </message>
    <message>
        <source>Nominal pipe size</source>
        <translation>Tamaño nominal</translation>
    </message>
    <message>
        <source>Schedule</source>
        <translation>Schedule</translation>
    </message>
    <message>
        <source>its heat number</source>
        <translation>su número de colada</translation>
    </message>
    <message>
        <source>Insert&apos;s class (AWS A5.30)</source>
        <translation>Clase del inserto (AWS A5.30)</translation>
    </message>
    <message>
        <source>Insert&apos;s width as laid, mm</source>
        <translation>Ancho del inserto al colocarlo, mm</translation>
    </message>
    <message>
        <source>its standard uncertainty, mm</source>
        <translation>su incertidumbre típica, mm</translation>
    </message>
    <message>
        <source>What 0 degrees is</source>
        <translation>Qué son los 0 grados</translation>
    </message>
    <message>
        <source>What +z is</source>
        <translation>Qué es +z</translation>
    </message>
    <message>
        <source>What shows it</source>
        <translation>Qué lo demuestra</translation>
    </message>
    <message>
        <source>State of the weld</source>
        <translation>Estado de la soldadura</translation>
    </message>
    <message>
        <source>Who held the camera</source>
        <translation>Quién llevaba la cámara</translation>
    </message>
    <message>
        <source>Camera</source>
        <translation>Cámara</translation>
    </message>
    <message>
        <source>Camera looked</source>
        <translation>La cámara miraba</translation>
    </message>
    <message>
        <source>Picture&apos;s up, degrees</source>
        <translation>Arriba de la imagen, grados</translation>
    </message>
    <message>
        <source>Head off the axis by about, mm</source>
        <translation>Cabezal fuera del eje en unos, mm</translation>
    </message>
    <message>
        <source>Head leaning by about, degrees</source>
        <translation>Cabezal inclinado en unos, grados</translation>
    </message>
    <message>
        <source>Camera to weld, mm</source>
        <translation>De la cámara a la soldadura, mm</translation>
    </message>
    <message>
        <source>known to, mm</source>
        <translation>conocida hasta, mm</translation>
    </message>
    <message>
        <source>Piece a</source>
        <translation>Pieza a</translation>
    </message>
    <message>
        <source>Outside diameter of a, mm</source>
        <translation>Diámetro exterior de a, mm</translation>
    </message>
    <message>
        <source>Wall of a, mm</source>
        <translation>Pared de a, mm</translation>
    </message>
    <message>
        <source>Inside diameter of a at the root, mm</source>
        <translation>Diámetro interior de a en la raíz, mm</translation>
    </message>
    <message>
        <source>How the sizes of a were found</source>
        <translation>Cómo se obtuvieron las medidas de a</translation>
    </message>
    <message>
        <source>Piece b</source>
        <translation>Pieza b</translation>
    </message>
    <message>
        <source>Outside diameter of b, mm</source>
        <translation>Diámetro exterior de b, mm</translation>
    </message>
    <message>
        <source>Wall of b, mm</source>
        <translation>Pared de b, mm</translation>
    </message>
    <message>
        <source>Inside diameter of b at the root, mm</source>
        <translation>Diámetro interior de b en la raíz, mm</translation>
    </message>
    <message>
        <source>How the sizes of b were found</source>
        <translation>Cómo se obtuvieron las medidas de b</translation>
    </message>
    <message>
        <source>Outside diameter, mm</source>
        <translation>Diámetro exterior, mm</translation>
    </message>
    <message>
        <source>Wall, mm</source>
        <translation>Pared, mm</translation>
    </message>
    <message>
        <source>Inside diameter at the root, mm</source>
        <translation>Diámetro interior en la raíz, mm</translation>
    </message>
    <message>
        <source>How the sizes were found</source>
        <translation>Cómo se obtuvieron las medidas</translation>
    </message>
    <message>
        <source>a to b</source>
        <translation>de a a b</translation>
    </message>
    <message>
        <source>b to a</source>
        <translation>de b a a</translation>
    </message>
    <message>
        <source>side</source>
        <translation>de lado</translation>
    </message>
    <message>
        <source>A root not shown, not in focus or not lit is NOT EXAMINED, not acceptable.</source>
        <translation>Una raíz no mostrada, desenfocada o sin iluminar está SIN EXAMINAR, no es aceptable.</translation>
    </message>
    <message>
        <source>Confined space: nobody enters purged pipe or puts the head into it without the permit, the line isolated and depressurised, ventilation, and a continuous oxygen test from outside. Below 19.5 % or above 23.5 % oxygen stay out; a reading between them is not by itself leave to enter. Argon is heavier than air and pools low.</source>
        <translation>Espacio confinado: nadie entra en un tubo purgado ni mete la cabeza sin el permiso, la línea aislada y despresurizada, ventilación y una medida continua de oxígeno desde fuera. Por debajo del 19.5 % o por encima del 23.5 % de oxígeno, quédese fuera; una lectura intermedia no es por sí sola permiso para entrar. El argón pesa más que el aire y se acumula abajo.</translation>
    </message>
    <message>
        <source>Do not grind by this until the wall is measured (ultrasonic thickness) and the repair is authorised.</source>
        <translation>No amole según esto hasta que la pared esté medida (espesor por ultrasonidos) y la reparación autorizada.</translation>
    </message>
    <message>
        <source>An arc burns eyes and skin: watch the screen, never look into the pipe, and keep others out of its light.</source>
        <translation>Un arco quema ojos y piel: mire la pantalla, nunca dentro del tubo, y mantenga a otros fuera de su luz.</translation>
    </message>
    <message>
        <source>It supports and never replaces the qualified examiner, the contract&apos;s code edition and local rules.</source>
        <translation>Apoya y nunca sustituye al examinador cualificado, la edición del código del contrato y las reglas locales.</translation>
    </message>
</context>
</TS>
