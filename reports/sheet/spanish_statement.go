package sheet

func spanishStatement() StatementTexts {
	return StatementTexts{
		Name: "Declaración de conformidad", Title: "Lote {lot} · declaración {number}",
		DraftTitle: "Lote {lot} · borrador", Draft: "Esto es un borrador: no se ha emitido y no está en el registro de declaraciones.",
		PlainPass: "Conforme, sin contar la incertidumbre.", PlainFail: "No conforme, sin contar la incertidumbre.", Note: "Nota", Decision: "Decisión",
		Pass:         "Conforme con una probabilidad de {p}.",
		Fail:         "No conforme con una probabilidad de {p}.",
		Inconclusive: "No concluyente con esta medición: conforme con una probabilidad de {p}.",
		SimplePass:   "Conforme sin contar la incertidumbre; probabilidad de ser conforme: {p}.",
		SimpleFail:   "No conforme sin contar la incertidumbre; probabilidad de ser conforme: {p}.",
		Above:        "más de {p}", Below: "menos de {p}",
		Uncertainties: "Incertidumbre típica: k\u00a0=\u00a01; incertidumbre expandida: k\u00a0=\u00a02, alrededor del 95\u00a0% si la magnitud sigue una distribución normal. CIE 1976 L*a*b*; ΔE00 es CIEDE2000.",
		Register:      "Declaración {number} en el registro · SHA-256 {checksum}",
		PlaceTitle:    "Posición del lote en su tolerancia", SettleTitle: "Qué lo resolvería",
		CheckOverdue: "La verificación del instrumento estaba vencida cuando se midió el lote: verifíquelo, y mida de nuevo el lote si no la supera.",
		CheckFailed:  "El instrumento no había superado su verificación cuando se midió el lote: mida de nuevo el lote con uno que la supere.",
		CheckUnknown: "No hay registrada ninguna verificación del instrumento: verifíquelo con una referencia, y mida de nuevo el lote si no la supera.",
		RuleTitle:    "Regla de decisión",
		GuardedRule: "Aceptación con guarda (JCGM 106:2012): el lote es conforme si su color verdadero cumple todos los límites a la vez con una probabilidad de al menos {accept}. " +
			"Es no conforme si esa probabilidad es como máximo {risk} y un lote apenas conforme se mediría así de lejos fuera con una probabilidad de como máximo {risk}. Entre ambas, esta medición no es concluyente. " +
			"Riesgo aceptado (max_risk): {risk}.",
		SimpleRule: "Aceptación simple (ILAC-G8): el lote es conforme si cada resultado, sin contar la incertidumbre, está dentro de sus límites, bordes incluidos; la incertidumbre se indica y no decide. " +
			"Un lote cuyo color verdadero está apenas fuera de un límite se da por conforme más o menos la mitad de las veces.",
		MostUncertain: "La mayor parte de la incertidumbre",
		ResultTitle:   "Resultado y límites", Quantity: "Magnitud", Value: "Resultado", K1: "Incert., k\u00a0=\u00a01", K2: "Incert., k\u00a0=\u00a02",
		Interval95: "95\u00a0%: {from} a {to}", Lower: "Límite inf.", Upper: "Límite sup.", Place: "Posición, sin incertidumbre", ProbabilityOf: "Probabilidad de ser conforme",
		NotLimited: "sin límite", Reference: "Referencia",
		BelowLimit: "POR DEBAJO del límite inferior", AboveLimit: "POR ENCIMA del límite superior", BeyondWarning: "dentro, en aviso", WithinLimits: "dentro",
		LotTitle: "Lote", LotName: "Lote", Wine: "Vino", Bottled: "Embotellado", Sample: "Muestra", Taken: "Medida", State: "Estado del vino",
		SpecTitle: "Especificación", SpecName: "Especificación", SpecVersion: "{name}, versión {version}", Valid: "Vigencia", From: "desde {from}", Until: "hasta {to}",
		ApprovedBy: "Aprobada por", Reads: "Medición prevista",
		MethodTitle: "Método e instrumento", Method: "Método", Instrument: "Instrumento", Check: "Verificación del instrumento", Found: "Resultado",
		StatePassed: "superada", StateOverdue: "VENCIDA", StateFailed: "NO SUPERADA", StateUnknown: "NO REGISTRADA", LastChecked: "última verificación {when}", DueBy: "vence {when}",
		IssuedTitle: "Emisión", IssuedBy: "Por", Issued: "El", Program: "Programa", Number: "Número en el registro", Checksum: "Suma de comprobación, SHA-256",
		Verify:        "La orden «pourpath verify» la confirma.",
		ReadingsTitle: "Lecturas", ReadSample: "Muestra", How: "Cubeta y dilución", Read: "Leído",
		Cautions: []string{
			"Esta declaración trata solo del color y no es una licencia. No dice nada de la seguridad, del dióxido de azufre, del alcohol ni de los alérgenos, ni de si la mezcla y lo que indica su etiqueta son legales: eso corresponde a sus propios análisis, a la normativa local y a las prácticas autorizadas.",
			"Vale para las muestras que se midieron, en el estado y el momento indicados. El color cambia en la botella, con su oxígeno, su dióxido de azufre y su conservación.",
			spanishTreated, spanishAllergy,
		},
		Signatures: []string{"Emitida por, fecha", "Liberado por, fecha"},
	}
}
