package sheet

import "pourpath/reports"

// Spanish returns the texts in the Spanish of Spain. The caller owns them.
func Spanish() Texts {
	return Texts{
		Lang: "es-ES", Figures: reports.Spanish(),
		Page:          "Página {no} de {count}",
		Conditions:    "Condiciones: iluminante {illuminant}, observador de {observer}°, {mm}\u00a0mm de vino.",
		SwatchDepths:  "Recuadros de color: 10\u00a0mm y {mm}\u00a0mm de espesor (en la copa).",
		SwatchDepth:   "Recuadros de color: 10\u00a0mm de espesor.",
		Convention:    "Dosis: mL añadidos por 100\u00a0mL de base; {dose}\u00a0mL por 100\u00a0mL = {share}\u00a0% de la mezcla.",
		Uncertainties: "± es una incertidumbre típica (k\u00a0=\u00a01). CIE 1976 L*a*b*; ΔE00 es CIEDE2000 con kL\u00a0=\u00a0kC\u00a0=\u00a0kH\u00a0=\u00a01.",
		Print:         "Los recuadros son colores de pantalla (sRGB, observador de 2°); la impresión no es una referencia de color.",
		Clipped:       "Esquina rayada: fuera de la gama sRGB, color aproximado.",
		Mind:          "Téngase presente",
		Cautions:      "Precauciones",

		WinesTitle: "Vinos y objetivo", Base: "Base", Addition: "Adición", AdditionNo: "Adición {no}", Target: "Objetivo",
		Held:         "Incluido en la base: {dose}\u00a0mL por 100\u00a0mL de base",
		TwoAdditions: "Las dosis son solo de la adición 1, por 100\u00a0mL de base sola. Las demás están en la base de cada copa con una dosis fija; el\u00a0% de la mezcla las cuenta.",
		Lot:          "Lote {lot}", Tolerance: "Tolerancia ΔE00\u00a0{de}",
		DoseLine: "{dose}\u00a0mL por 100\u00a0mL de base · {share}\u00a0% de la mezcla",
		Range:    "{from} a {to}", PerBase: "mL por 100\u00a0mL de base",
		DeedBase: "Base: {wine}", DeedAddition: "Añadir {wine}", DeedOut: "Sacar", DeedBack: "Contraanotación: anula la anotación {no}",
		Yes: "sí", No: "no",
		Field: "para rellenar a mano", Box: "casilla para marcar",
		SwatchIs: "color de pantalla {hex}", SwatchOut: "color de pantalla {hex}, fuera de gama, aproximado",

		Columns: spanishColumns(), Bench: spanishBench(), Trial: spanishTrial(), Order: spanishOrder(),
		Statement: spanishStatement(), Told: spanishTold(), Panel: spanishPanel(),
	}
}

func spanishColumns() ColumnTexts {
	return ColumnTexts{
		Done: "Hecho", No: "N.º", Time: "Hora", Glass: "Copa", What: "Qué", WhatHow: "Qué, con qué utensilio", Wine: "Vino", Volume: "Volumen, mL",
		Tool: "Utensilio", Total: "Total acum., mL", PlannedTotal: "Total previsto, mL", Poured: "Vertido, mL",
		Dose: "Dosis, mL por 100\u00a0mL de base", Share: "% de la mezcla", At10MM: "10\u00a0mm", InGlass: "Copa, {mm}\u00a0mm", Target: "objetivo",
		Minutes: "Minutos desde la adición", Note: "Notas", Initials: "Iniciales", Who: "Quién", Score: "Puntuación",
		Capacity: "Capacidad, mL", Graduation: "Una división, mL", Limit: "Límite, mL", Source: "Clase y fuente",
		Unexplained: "ΔE00 con lo medido",
		Vessel:      "Recipiente", USGal: "gal EE. UU.", ImpGal: "gal imperial", Stock: "Existencias", OnHand: "Disponible, L", Needed: "Necesario, L",
		LeftOver: "Sobra, L", Short: "Falta, L",
		Step: "Paso", PlannedL: "Previsto, L", AsDone: "Realizado, L", BaseL: "Base, L", FirstL: "Primera parte, L", HeldL: "Reservado, L",
		FirstDone: "Primera, realizado", TrimDone: "Ajuste, realizado", Sample: "Muestra", Look: "Límpido, turbio o con cristales",
	}
}

// The cautions that all documents share, as in English.
const (
	spanishTreated = "No beba nunca una muestra tratada para una lectura (acetaldehído, ácido, bisulfito). Márquela, manténgala apartada de las copas de cata y deséchela."
	spanishSO2     = "Dióxido de azufre y sus sales: solo como permitan la normativa local y la ficha de datos de seguridad del producto, por quien esté autorizado; con ventilación y guantes."
	spanishAlcohol = "El vino es alcohol: cate y escupa; no cata nadie menor de edad, embarazada o que vaya a conducir o a trabajar con máquinas."
	spanishAllergy = "El vino contiene sulfitos. Quien sea sensible a ellos, o tenga asma, no cata ni huele en la mesa de ensayo."
	spanishGlass   = "El vidrio desportillado o agrietado se retira de inmediato. Recoja el vidrio roto con un cepillo; el vino en el que haya caído se desecha."
	spanishLaw     = "La ley local y la licencia dicen si un tinto puede mezclarse con un blanco para un rosado (coupage), y qué puede indicar entonces la etiqueta sobre color, variedad, añada y origen: infórmese antes de dosificar el depósito."
	spanishStable  = "Dos vinos estables por separado pueden dar juntos cristales de tartrato o una quiebra proteica: guarde en frío una muestra de la mezcla y mírela al día siguiente, antes de embotellar."
	spanishMalo    = "Un tinto con la fermentación maloláctica hecha, en un blanco con ácido málico o azúcar, puede volver a fermentar en la botella: analice ambos y filtre o proteja la mezcla como permita la normativa local."
)

func spanishBench() BenchTexts {
	return BenchTexts{
		Name: "Hoja de ensayo", BaseInGlass: "Base en cada copa", Tools: "Utensilios y sus límites",
		Plan:    "Plan",
		PlanHow: "Siga la lista de arriba abajo. Marque cada línea una vez vertida; el total acumulado es lo que la copa ha recibido de la adición.",
		Record:  "Vertido y medido",
		RecordHow: "Anote lo que se vertió, no lo que estaba previsto. Una lectura hecha justo después de verter se repite al día siguiente. " +
			"Las últimas líneas son para lo imprevisto: sorbos, cubetas llenadas, errores.",
		RecordFields: []string{"Cubeta, mm", "Dilución", "Instrumento", "Temperatura, °C"},
		Notes:        "Notas y puntuaciones",
		Cautions: []string{spanishTreated, "Use un utensilio para cada vino, o enjuáguelo con el vino siguiente; una gota de tinto en la base se nota.",
			spanishAlcohol, spanishAllergy, spanishGlass, spanishSO2},
	}
}

func spanishTrial() TrialTexts {
	return TrialTexts{
		Name: "Informe del ensayo", Lead: "Elegido: {dose}", NoChoice: "Aún no se ha elegido ninguna dosis.",
		Log:    "Diario de adiciones",
		LogHow: "La dosis se calcula a partir de lo que había en la copa; lo que se sacó tenía la composición del conjunto. Una anotación marcada como anulada no cuenta.",
		Undone: "ANULADA", Against: "Lo medido y lo previsto",
		AgainstHow: "ΔE00 es lo que cada trayectoria deja sin explicar del color medido; antes de verter: solo a partir de los dos vinos.",
		Measured:   "medido", Predicted: "previsto antes de verter", Learned: "trayectoria tras todas las lecturas",
		Outlier: "ANÓMALA: señalada, no descartada", Repeat: "medido poco después de verter: repetir al día siguiente",
		Notes: "Notas y puntuaciones", Choice: "Elección", ChosenDose: "Dosis elegida", Interval: "Intervalo del 95\u00a0%",
		Nearest: "La más próxima al objetivo", NearestInterval: "Su intervalo del 95\u00a0%",
		PerLitre: "Para un litro", PerLitreIs: "{base}\u00a0mL para un litro de base; un litro de mezcla terminada contiene {blend}\u00a0mL",
		FromTarget: "ΔE00 previsto respecto al objetivo", TastedIn: "Catado en la copa", ChosenBy: "Elegido por", Reasons: "Motivos:",
		Final:     "Control final",
		FinalNot:  "Sin hacer. Prepare de nuevo la dosis elegida, de una sola vez, con {ml}\u00a0mL o más; mida, guarde una noche en frío y vuelva a mirar.",
		FinalDone: "Hecho: la dosis elegida se preparó de nuevo, se midió, se guardó una noche en frío y se volvió a mirar.",
		FinalPart: "Incompleto. Falta: {todo}.",
		TodoPour:  "preparar de nuevo la dosis elegida con {ml}\u00a0mL o más", TodoRead: "medirla", TodoCold: "guardarla una noche en frío", TodoLook: "volver a mirarla al día siguiente",
		PouredFresh: "Preparada de nuevo", Read: "Lectura", ReadFromTarget: "Su ΔE00 respecto al objetivo",
		KeptCold: "Guardada una noche en frío", LookedAgain: "Vuelta a mirar al día siguiente", Seen: "Lo que se vio", CheckedBy: "Controlado por",
		ScaleUp:  "Paso a bodega",
		Cautions: []string{spanishStable, spanishMalo, spanishTreated, spanishLaw, spanishSO2, spanishAlcohol, spanishAllergy, spanishGlass},
	}
}

func spanishOrder() OrderTexts {
	return OrderTexts{
		Name: "Orden de trabajo", Lead: "Dosis: {dose}", VolumesTitle: "Volúmenes", Dose: "Dosis", Blend: "Mezcla",
		EachOf: "{count} × {name}, cada uno", Total: "Los {count} recipientes juntos", VesselNo: "{name}, n.º\u00a0{no}",
		BaseLed:     "SEGÚN LA BASE, esta orden: {size}\u00a0L de base, la adición va aparte",
		BlendLed:    "SEGÚN LA MEZCLA, esta orden: {size}\u00a0L de mezcla terminada, adición incluida",
		NotBaseLed:  "Según la base, NO esta orden: si {size}\u00a0L fueran base",
		NotBlendLed: "Según la mezcla, NO esta orden: si {size}\u00a0L fueran mezcla terminada",
		Rounded:     "Para medir", RoundedTo: "{base}\u00a0L de base y {addition}\u00a0L de adición ({steps}): {dose}",
		StepBase: "base en pasos de {l}\u00a0L", StepAddition: "adición en pasos de {l}\u00a0L",
		RoundingError: "Error de redondeo", RoundingDE: "ΔE00\u00a0{de} respecto a la dosis pedida",
		Gauge: "Aforo", GaugeIs: "base ±\u00a0{base}\u00a0%, adición ±\u00a0{addition}\u00a0% (k\u00a0=\u00a01): dosis ±\u00a0{dose}\u00a0mL por 100\u00a0mL de base",
		GaugeSteps: "solo por los pasos, al no indicarse ninguna incertidumbre del aforo ni de la medida: dosis ±\u00a0{dose}\u00a0mL por 100\u00a0mL de base (k\u00a0=\u00a01)",
		GaugeDE:    "una incertidumbre así de la dosis supone ΔE00\u00a0{de}",
		Heel:       "Resto en la conducción", HeelIs: "{l}\u00a0L de adición quedan en la manguera y la bomba: mida esa cantidad de más, una vez",
		WithHeel: "Mida {out}\u00a0L; {heel}\u00a0L de ellos quedan en la conducción.",
		Loss:     "Pérdidas", LossIs: "{percent}\u00a0% de la mezcla por el camino; los volúmenes lo incluyen",
		AtMost: "≤\u00a0{l}",
		Steps:  "Pasos", StepsHow: "En este orden. Lo vertido no se puede retirar: añada el resto solo después de medir las muestras.",
		StepGauge: "Aforar la base en el recipiente", StepFirst: "Añadir la primera parte, {percent}\u00a0% de la adición",
		StepMix: "Mezclar: recircular una vez todo el volumen, sin aire", StepSample: "Tomar muestra arriba y abajo; volver a mezclar hasta que coincidan",
		StepMeasure: "Medir ambas muestras y calcular el ajuste", StepTrim: "Ajustar con lo reservado",
		StepAgain: "Mezclar, tomar muestra y medir de nuevo", StepCold: "Guardar una muestra una noche en frío; buscar cristales y turbidez al día siguiente",
		EachVessel: "Recipiente a recipiente", SamplesTitle: "Muestras",
		Samples:      []string{"Arriba, tras la primera parte", "Abajo, tras la primera parte", "Arriba, tras el ajuste", "Abajo, tras el ajuste", "Guardada en frío, al día siguiente"},
		SampleFields: []string{"Cubeta, mm", "Dilución", "Instrumento", "Temperatura, °C"},
		SamplesHow:   "Si arriba y abajo difieren en más que la dispersión propia de las lecturas, el depósito no está mezclado. Un ajuste a partir de tales muestras es una conjetura.",
		Trim:         "Ajuste", TrimHow: "Para rellenar una vez medidas las muestras.",
		TankHas: "El depósito tiene", TrimWith: "Añadir",
		Passed:    "Se ha pasado el objetivo: no añada nada más.",
		BringBack: "Base para volver atrás", BaseInterval: "Su intervalo del 95\u00a0%",
		NotMixed:    "Arriba y abajo difieren: el depósito no está mezclado, así que no se indica ningún ajuste. Mezcle, tome muestra y mida de nuevo.",
		TrimAim:     "Apunta a",
		MayBePassed: "El intervalo llega por debajo de 0: puede que ya se haya pasado el objetivo. Mida de nuevo antes de añadir.",
		TrimFields:  []string{"Ajuste, L", "Intervalo, L", "Añadido, L", "Aforo después, L"},
		Signed:      "Firmas", Signatures: []string{"Ordenado por, fecha", "Vertido por, fecha", "Medido por, fecha", "Muestra fría vista por, fecha"},
		Cautions: []string{spanishStable, spanishMalo, spanishTreated, spanishLaw, spanishSO2,
			"El dióxido de carbono se acumula en depósitos y fosos y mata: no meta nunca la cabeza en un recipiente; compruebe el aire y trabajen de dos en dos.",
			spanishAlcohol, spanishAllergy, spanishGlass},
	}
}
