package reports

import "pourpath/colour/control"

// Spanish returns the texts in the Spanish of Spain. The caller owns them.
func Spanish() Texts {
	return Texts{
		Lang: "es-ES", Numbers: Numbers{DecimalMark: ",", GroupMark: "\u202f"},
		Shared: SharedTexts{
			View:          "Condiciones: iluminante {illuminant}, observador de {observer}°, {mm}\u00a0mm de vino.",
			Conditions:    "Condiciones: {conditions}.",
			GreenerRedder: "(− más verde, + más rojo)", Yellower: "+ amarillo", Bluer: "− azul",
			Range: "{from} a {to}", From: "desde {from}", UpTo: "hasta {to}", FromTo: "de {from} a {to}",
			And: " y ", Colon: ": ", Semicolon: "; ",
			LotNo: "n.º\u00a0{no}", LotNamed: "n.º\u00a0{no}, {name}",
			LotsInTime: "Lotes en orden cronológico",
			SpecFarOff: "El límite de la especificación en {value} queda tan lejos que no se dibuja.",
			LeftOut:    "excluido", Tolerance: "tolerancia", Reference: "referencia",
		},
		Ladder: spanishLadder(), Chart: spanishChart(), Plane: spanishPlane(),
		Tolerance: spanishTolerance(), Preference: spanishPreference(),
		Drift:    spanishDrift(),
		Spectrum: spanishSpectrum(),
		History:  spanishHistory(),
		Rules:    spanishRules(),
		Charted: map[string]string{
			"L": "L*", "a": "a*", "b": "b*", "intensity": "intensidad colorante", "tint": "tonalidad", "delta_e_00": "ΔE00 respecto a la referencia",
		},
		Parts: map[string]string{
			"delta_e_00": "ΔE00 respecto a la referencia", "delta_e_ab": "ΔE*ab respecto a la referencia", "L": "L*", "a": "a*", "b": "b*", "C": "C*", "h": "h",
			"intensity": "Intensidad", "tint": "Tonalidad", "yellow_percent": "Porcentaje de amarillo", "red_percent": "Porcentaje de rojo", "blue_percent": "Porcentaje de azul",
			"hotelling_t2": "T² respecto a los lotes aprobados",
		},
	}
}

func spanishLadder() LadderTexts {
	return LadderTexts{
		Title: "Escala de dosis", Base: "Base: {wine}.", Addition: "Adición: {wine}.",
		HeldWine: " + {dose}\u00a0mL de {wine} por 100\u00a0mL", WineNo: "vino {no}",
		Nearest:        "La más próxima: {dose}\u00a0mL por 100\u00a0mL de base = {share}\u00a0% de la mezcla.",
		NearestApart:   "La más próxima: {dose}\u00a0mL por 100\u00a0mL de base = {share}\u00a0% de la mezcla, ΔE00\u00a0{de}.",
		Interval:       "Intervalo del 95\u00a0%: {range}.",
		Acceptable:     "Aceptables (probabilidad ≥\u00a00,95): {range}.",
		NoneAcceptable: "Ninguna dosis está dentro de la tolerancia con una probabilidad ≥\u00a00,95.",
		Unexplained:    "De lo medido, la trayectoria deja ΔE00\u00a0{left} sin explicar.", UnexplainedBefore: "De lo medido, la trayectoria deja ΔE00\u00a0{left} sin explicar; antes de recalibrar, ΔE00\u00a0{before}.",
		ViewSwatches:   "Condiciones: iluminante {illuminant}, observador de {observer}°, {mm}\u00a0mm de vino; recuadros de 10\u00a0mm y {glass}\u00a0mm de espesor.",
		Convention:     "Dosis: mL añadidos por 100\u00a0mL de base; {dose}\u00a0mL por 100\u00a0mL = {share}\u00a0% de la mezcla.",
		Method:         "CIE 1976 L*a*b* a partir de la transmitancia, de 380 a 780\u00a0nm; ΔE00 es CIEDE2000 con kL\u00a0=\u00a0kC\u00a0=\u00a0kH\u00a0=\u00a01.",
		Band:           "Banda gris: k\u00a0=\u00a02, lo máximo que permiten a través de la trayectoria las incertidumbres de a* y b*.",
		NoOutline:      "Contorno de la tolerancia: ninguno, pues ΔE00 no alcanza la tolerancia en todas las direcciones.",
		OutlineNearest: "Contorno de la tolerancia: ΔE00\u00a0{de} en torno al objetivo, con L*\u00a0{l}, la del punto más próximo.",
		OutlineOwn:     "Contorno de la tolerancia: ΔE00\u00a0{de} en torno al objetivo, con L*\u00a0{l}, la suya.",
		OutlineOwnFar:  "Contorno de la tolerancia: ΔE00\u00a0{de} en torno al objetivo, con L*\u00a0{l}, la suya, pues la del punto más próximo está fuera de la tolerancia.",
		Print:          "La impresión no es una referencia de color.",
		SwatchesPrint:  "Los recuadros son colores de pantalla (sRGB, observador de 2°); la impresión no es una referencia de color.",
		Clipped:        "Esquina rayada: fuera de la gama sRGB, color aproximado.",
		Panels:         "Paneles: la trayectoria del color en el plano a*b*; L* y ΔE00 frente a la dosis; los recuadros de color.",
		Path:           "Trayectoria del color", Lightness: "Claridad L*",
		FromTarget: "ΔE00 respecto al objetivo", FromRung: "ΔE00 respecto al peldaño anterior", FromLowest: "ΔE00 respecto a la dosis menor",
		NotDrawn: "(más de {de} sin dibujar)", Blank: "Aún no hay dosis: la trayectoria aparecerá aquí.",
		DoseAxis: "Dosis, mL por 100\u00a0mL de base", ShareAxis: "(% de la mezcla)", ToleranceAt: "tolerancia {de}", Percent: "{share}\u00a0%", Percent95: "95\u00a0%",
		KeyPath: "trayectoria prevista", KeyRecalibrated: "trayectoria recalibrada", KeyBefore: "trayectoria antes de recalibrar", KeyBand: "incertidumbre k\u00a0=\u00a02",
		KeyRung: "peldaño, mL por 100\u00a0mL", KeySome: "peldaño, mL por 100\u00a0mL (se muestran {shown} de {count})",
		KeyMeasured: "medido, barras k\u00a0=\u00a02", KeyLeft: "sin explicar", KeyNearest: "el más próximo al objetivo", KeyTarget: "objetivo",
		KeyAcceptable: "aceptable (probabilidad ≥\u00a00,95)", KeyNominal: "dentro de la tolerancia, sin contar la incertidumbre",
		Deep: "{mm}\u00a0mm de vino", DosePer100: "mL por 100\u00a0mL", ShareOfBlend: "% de la mezcla",
		SwatchBase: "base", SwatchNearest: "próximo", SwatchOfTarget: "objetivo",
	}
}

func spanishChart() ChartTexts {
	return ChartTexts{
		Title: "Gráfico de los lotes", TitleOf: "Gráfico: {quantity}", Colour: "Color", Together: "L*, a*, b* juntos",
		Of: "{quantity}: {product}", OfSpec: "{quantity}: lotes comparados con {spec}", OfLots: "{quantity} de los lotes",
		NewestDrawn: "Se dibujan los últimos lotes, {shown} de {count}; todos cuentan.", PartDrawn: "Se dibujan los lotes {first} a {last} de {count}; todos cuentan.",
		FromAll: "según los {count} lotes del periodo", FromFirstOf: "según los {first} primeros lotes de {count}",
		AxisNumber: "(número)", AxisNumberName: "(número y nombre del lote)",
		KeyLot: "lote", KeyBeyond: "señal: un lote más allá de un límite", KeyPattern: "señal: un patrón, donde apareció", KeyMakes: "lotes que lo forman", KeyNumbers: "cifras: véase abajo",
		NewestTold: "Las {shown} últimas señales de {count}; las de antes ({more}) se marcan sin número.",
		SignalAt:   "{lot}: {rule}. {text}", SignalOn: "{panel}, {lot}: {rule}. {text}",
		LeftOut: "Excluidos: {lots}.", LeftOutMore: "Excluidos: {lots}; y otros ({more}).",
		BasePeriod: "periodo de base", Mean: "media", LowerAction: "acción inf.", UpperAction: "acción sup.", LowerWarning: "aviso inf.", UpperWarning: "aviso sup.",
		SpecLower: "esp. inf.", SpecUpper: "esp. sup.", MeanRange: "rango medio", Centre: "centro", Action: "acción", Median: "mediana",
		SingleLots: "Lotes individuales: {quantity}", MovingRange: "Rango móvil: de un lote al anterior",
		RunningAverage: "Media móvil (EWMA): {quantity}, peso del último lote {weight}", TogetherOf: "Juntos: T² de Hotelling de {names}", RunPlot: "Secuencia temporal: {quantity}",
		SingleSaid:   "Lotes individuales: media {mean}, desviación típica {sigma}, {from}. {signals}",
		AverageSaid:  "Media móvil: límites a {width} desviaciones típicas de la media, {from}. {signals}",
		TogetherSaid: "T² de {names}: límite con una falsa alarma cada {lots} lotes, {from}. {signals}",
		Single:       SignalTexts{"Ninguna señal en los lotes individuales y los rangos.", "1 señal en los lotes individuales y los rangos.", "{count} señales en los lotes individuales y los rangos."},
		Average:      SignalTexts{"Ninguna señal en la media móvil.", "1 señal en la media móvil.", "{count} señales en la media móvil."},
		T2:           SignalTexts{"Ninguna señal en T².", "1 señal en T².", "{count} señales en T²."},
		LotsOne:      "1 lote", LotsMany: "{count} lotes", Series: "{lots}.", SeriesNamed: "{lots}, de {first} a {last}.",
		SeriesOut: "{lots}; excluidos: {out}.", SeriesNamedOut: "{lots}, de {first} a {last}; excluidos: {out}.",
		FromEarlier: "según un periodo anterior", FromFirst: "según los {count} primeros lotes", FromThese: "según estos {count} lotes",
		Conditions: "{illuminant}, observador de {observer}°, {mm}\u00a0mm de vino, a partir de {source}", PlaneConditions: "colores a partir de {source}",
		Sources:    map[string]string{"readings": "algunas absorbancias", "spectrum": "un espectro", "cielab": "L*, a*, b* indicados"},
		Outside:    "Especificación: {limits}; fuera, sin contar la incertidumbre: {out} de {count}. Los límites de acción dicen lo que suelen hacer los lotes, no lo que deben hacer.",
		LimitsFrom: "desde {lower}", LimitsTo: "hasta {upper}", LimitsBoth: "de {lower} a {upper}",
		IndividualsMethod: "Valores individuales y rango móvil según ISO 7870-2: límites de acción a 3, límites de aviso a 2 desviaciones típicas (rango móvil medio / 1,128). Reglas buscadas: {rules}.",
		AverageMethod:     "Media móvil según ISO 7870-6: una media móvil con ponderación exponencial a partir del centro.",
		TogetherMethod:    "T² es el cuadrado de la distancia a la media del periodo de base, en las direcciones y con la amplitud en que se dispersan los lotes; el límite de los lotes del periodo de base es más bajo que el de los posteriores.",
	}
}

func spanishPlane() PlaneTexts {
	return PlaneTexts{
		Title: "Color de los lotes", Newest: "Último lote: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b}.", NewestNamed: "Último lote, {name}: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b}.",
		NewestU: "Último lote: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b} (k\u00a0=\u00a02).", NewestNamedU: "Último lote, {name}: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b} (k\u00a0=\u00a02).",
		KeyNewest: "último lote", KeyNewestBars: "último lote, barras k\u00a0=\u00a02", KeyLot: "lote", KeyBefore: "antes de los {count} últimos", KeyOffPath: "antes de los {count} últimos, fuera de la trayectoria",
		Method: "CIE 1976, coordenadas L*a*b*.", Drawn: "La región se dibuja con la L* del último lote, {l}: para otros lotes es solo una guía.", NotDrawn: "Sin dibujar: {part}, {why}.",
		Panels: "Paneles: los lotes ({count}) como trayectoria en el plano a*b*; L* a lo largo de los lotes.",
		Path:   "Trayectoria de los lotes en el tiempo", Lightness: "Claridad L* a lo largo de los lotes", Difference: "ΔE00 respecto a la referencia", Spec: "esp.",
		DeltaE: "ΔE00\u00a0{de} respecto a la referencia", Weights: "{part} (kL\u00a0{l}, kC\u00a0{c}, kH\u00a0{h})",
		LimitsA: "límites de a*", LimitsB: "límites de b*", LimitsAB: "límites de a* y b*", Ellipsoid: "elipsoide de los lotes aprobados",
		NoMeet: "que ningún color de esa L* cumple", NoReach: "pues ΔE00 no lo alcanza en todas las direcciones",
	}
}

func spanishTolerance() ToleranceTexts {
	return ToleranceTexts{
		Title:  "Posición en la tolerancia",
		KeyLot: "el lote", KeyLotBars: "el lote, barra k\u00a0=\u00a02 o 95\u00a0%", KeyAllowed: "permitido", KeyLimit: "límite", KeyWarning: "límite de aviso",
		KeyScales: "cada fila tiene su propia escala",
		Below:     "por debajo, valor solo", Above: "por encima, valor solo", BeyondWarning: "dentro, en aviso", Within: "dentro",
		Probability: "probabilidad {p}", Interval: "{value} (95\u00a0%: {from} a {to})", Part: "{quantity} {value}: {side}, permitido {allowed}.",
		Against: "{illuminant}, observador de {observer}°, {mm}\u00a0mm. Especificación {spec}, versión {version}.",
	}
}

func spanishDrift() DriftTexts {
	return DriftTexts{
		Title: "Cómo deriva el color", TitleOf: "Cómo deriva el color: {product}",
		Storage: "Conservación: {storage}", StorageUntold: "Conservación no indicada", OneLotIn: "{conditions}; se dibujan las lecturas de un lote de cada {count}",
		Bottling: "el embotellado", Absorbance: "A{nm}, por 10\u00a0mm", Days: "Días desde {clock}",
		KeyLot: "un lote en el nivel mediano", KeyOneMore: "dónde está un lote más, con el 95\u00a0%",
		KeyReading: "una lectura, su lote llevado a ese nivel", KeyFar: "muy alejada: cuenta poco o nada",
		Said: "{readings} lecturas de {lots} lotes; del día {first} al día {last}: {bands}.", Band: "A{nm} de {first} a {last} ({lower} a {upper})",
		Far:    "Lecturas muy alejadas: {count}.",
		Method: "Con el 95\u00a0%, un lote más queda en los intervalos: cuentan lo incierto de la media y lo que distingue a los lotes. El nivel de un lote es suyo; lo que los lotes tienen en común es cómo evolucionan.",
	}
}

func spanishSpectrum() SpectrumTexts {
	return SpectrumTexts{
		Title: "Espectro de absorbancia", TitleOf: "Espectro de absorbancia: {name}",
		Absorbance: "Absorbancia por 10\u00a0mm de vino sin diluir", Wavelength: "Longitud de onda, nm",
		KeyBand: "dos incertidumbres típicas a cada lado (k\u00a0=\u00a02)", KeyRead: "valores leídos, llevados a 10\u00a0mm", KeyScan: "puntos del espectro leído, llevados a 10\u00a0mm",
		KeyMarks:      "420, 520, 620\u00a0nm: intensidad y tonalidad",
		ReadingsCurve: "estimado entre los valores leídos", ReadingsHow: "Entre los valores leídos, el espectro se estima por las formas que tienen los espectros de vinos.",
		ScanCurve: "el espectro leído, cada 5\u00a0nm", ScanHow: "La curva es el espectro leído, llevado a un valor cada 5\u00a0nm.",
		ColourCurve: "estimado a partir de L*, a*, b*", ColourHow: "No se leyó ninguna absorbancia: este es el espectro de vino más verosímil que tiene el color indicado.",
		BlendCurve: "previsto", BlendHow: "El espectro de una mezcla, según los volúmenes de sus vinos.",
		Said: "Por 10\u00a0mm {values} (k\u00a0=\u00a02). {how}", At: "A{nm} {value} ± {u}",
		Method: "Las absorbancias son decimales, para un camino óptico de 10\u00a0mm de vino sin diluir, sean cuales fueren la cubeta y la dilución empleadas.",
	}
}

func spanishHistory() HistoryTexts {
	return HistoryTexts{
		Title: "Lecturas en el tiempo", TitleOf: "Lecturas en el tiempo: {name}",
		Conditions: "L*, a*, b* bajo D65, observador de 10°, para 10\u00a0mm de vino sin diluir", Newest: "{conditions}; las lecturas más recientes; hay otras anteriores",
		Intensity: "Intensidad colorante (A420 + A520 + A620), por 10\u00a0mm", Tint: "Tonalidad (A420/A520)", When: "Fecha de la lectura, UTC",
		KeyReading: "una lectura, barra de dos incertidumbres típicas a cada lado (k\u00a0=\u00a02)", KeySuperseded: "sustituida por una corrección",
		One: "1 lectura, del {from} al {to}.", Many: "{count} lecturas, del {from} al {to}.",
		Superseded: "Sustituidas y dibujadas huecas: {count}.", LeftOut: "Sin dibujar: {counts}.", Archived: "{count} por estar en el archivo", Colourless: "{count} sin color de vino",
		Method: "Cada lectura por sí sola, también las réplicas. Las lecturas hechas en otra cubeta, con otra dilución o de otro modo pueden diferir solo por eso.",
		Day:    "02/01/2006", Month: "01/2006",
	}
}

func spanishRules() map[control.Rule]string {
	return map[control.Rule]string{
		control.BeyondAction:        "Western Electric\u00a01, Nelson\u00a01: un punto más allá de un límite de acción",
		control.TwoOfThree:          "Western Electric\u00a02, Nelson\u00a05: dos de tres puntos más allá de un límite de aviso",
		control.FourOfFive:          "Western Electric\u00a03, Nelson\u00a06: cuatro de cinco puntos más allá de una desviación típica",
		control.EightOneSide:        "Western Electric\u00a04: ocho puntos seguidos a un mismo lado del centro",
		control.NineOneSide:         "Nelson\u00a02: nueve puntos seguidos a un mismo lado del centro",
		control.SixTrend:            "Nelson\u00a03: seis puntos seguidos al alza o a la baja",
		control.FourteenAlternating: "Nelson\u00a04: catorce puntos seguidos que suben y bajan por turnos",
		control.FifteenNear:         "Nelson\u00a07: quince puntos seguidos a menos de una desviación típica",
		control.EightFar:            "Nelson\u00a08: ocho puntos seguidos a ambos lados, ninguno a menos de una desviación típica",
		control.RangeBeyond:         "rango móvil por encima de su límite de acción",
		control.AverageBeyond:       "media móvil ponderada más allá de su límite de acción",
		control.TogetherBeyond:      "T² por encima de su límite de acción",
	}
}

func spanishPreference() PreferenceTexts {
	return PreferenceTexts{
		Title:       "Lo que prefiere el panel",
		Shares:      "{judges} jueces pusieron cada copa antes que esta proporción de las demás: {glasses}.",
		Glass:       "{dose}\u00a0mL, {share}\u00a0%",
		Preferred:   "Preferida: {dose}\u00a0mL por 100\u00a0mL de base, {share}\u00a0% de la mezcla; intervalo del {level}\u00a0%: de {from} a {to}\u00a0mL, del {fromshare} al {toshare}\u00a0%.",
		NoDose:      "Ninguna dosis preferida: las respuestas no muestran que los jueces prefieran una copa, ni que todas les den igual.",
		View:        "Condiciones: iluminante {illuminant}, observador de {observer}°, {mm}\u00a0mm de vino. Un círculo tiene el color de 10\u00a0mm de su vino.",
		Method:      "Panel B: proporción de las demás copas, en\u00a0%, antes que las cuales se puso una copa; los empates cuentan la mitad. Intervalos del {level}\u00a0% sobre los jueces, con un juez más que responde al azar.",
		Path:        "Trayectoria del color: círculos grandes, copas preferidas",
		Along:       "Preferencia según la dosis, en\u00a0%",
		DoseAxis:    "mL por 100\u00a0mL de base",
		KeyGlass:    "una copa con sus mL por 100\u00a0mL, mayor cuanto más preferida",
		KeyPath:     "trayectoria",
		KeyInterval: "intervalo de una copa",
		KeyCurve:    "curva con su intervalo",
		KeyEven:     "tantas veces antes como después de las demás",
		KeyBest:     "dosis preferida con su intervalo",
	}
}
