package sheet

func frenchStatement() StatementTexts {
	return StatementTexts{
		Name: "Déclaration de conformité", Title: "Lot {lot} · déclaration {number}",
		DraftTitle: "Lot {lot} · projet", Draft: "Ceci est un projet\u202f: il n’a pas été émis et ne figure pas au registre des déclarations.",
		PlainPass: "Conforme, sans compter l’incertitude.", PlainFail: "Non conforme, sans compter l’incertitude.", Note: "Remarque", Decision: "Décision",
		Pass:         "Conforme avec une probabilité de {p}.",
		Fail:         "Non conforme avec une probabilité de {p}.",
		Inconclusive: "Non concluant avec cette mesure\u202f: conforme avec une probabilité de {p}.",
		SimplePass:   "Conforme sans compter l’incertitude\u202f; probabilité d’être conforme\u202f: {p}.",
		SimpleFail:   "Non conforme sans compter l’incertitude\u202f; probabilité d’être conforme\u202f: {p}.",
		Above:        "plus de {p}", Below: "moins de {p}",
		Uncertainties: "Incertitude-type\u202f: k\u00a0=\u00a01\u202f; incertitude élargie\u202f: k\u00a0=\u00a02, environ 95\u202f% si la grandeur suit une loi normale. CIE 1976 L*a*b*\u202f; ΔE00 est CIEDE2000.",
		Register:      "Déclaration {number} au registre · SHA-256 {checksum}",
		PlaceTitle:    "Place du lot dans sa tolérance", SettleTitle: "Ce qui permettrait de trancher",
		CheckOverdue: "La vérification de l’instrument était en retard lors de la mesure du lot\u202f: vérifiez-le, et mesurez le lot de nouveau si il n’y satisfait pas.",
		CheckFailed:  "L’instrument avait échoué à sa vérification lors de la mesure du lot\u202f: mesurez le lot de nouveau avec un instrument qui la réussit.",
		CheckUnknown: "Aucune vérification de l’instrument n’est enregistrée\u202f: vérifiez-le avec une référence, et mesurez le lot de nouveau si il n’y satisfait pas.",
		RuleTitle:    "Règle de décision",
		GuardedRule: "Acceptation gardée (JCGM 106:2012)\u202f: le lot est conforme si sa couleur vraie respecte toutes les limites ensemble avec une probabilité d’au moins {accept}. " +
			"Il est non conforme si cette probabilité est de {risk} au plus et si un lot tout juste conforme serait mesuré aussi loin dehors avec une probabilité de {risk} au plus. Entre les deux, cette mesure ne permet pas de trancher. " +
			"Risque accepté (max_risk)\u202f: {risk}.",
		SimpleRule: "Acceptation simple (ILAC-G8)\u202f: le lot est conforme si chaque résultat, sans compter l’incertitude, est dans ses limites, bords compris\u202f; l’incertitude est indiquée et ne décide pas. " +
			"Un lot dont la couleur vraie est tout juste hors d’une limite est jugé conforme à peu près une fois sur deux.",
		MostUncertain: "L’essentiel de l’incertitude",
		ResultTitle:   "Résultat et limites", Quantity: "Grandeur", Value: "Résultat", K1: "Incertitude, k\u00a0=\u00a01", K2: "Incertitude, k\u00a0=\u00a02",
		Interval95: "95\u202f%\u202f: {from} à {to}", Lower: "Limite inf.", Upper: "Limite sup.", Place: "Place, sans incertitude", ProbabilityOf: "Probabilité d’être conforme",
		NotLimited: "sans limite", Reference: "Référence",
		BelowLimit: "SOUS la limite inférieure", AboveLimit: "AU-DESSUS de la limite supérieure", BeyondWarning: "dans les limites, en alerte", WithinLimits: "dans les limites",
		LotTitle: "Lot", LotName: "Lot", Wine: "Vin", Bottled: "Mis en bouteille", Sample: "Échantillon", Taken: "Mesuré", State: "État du vin",
		SpecTitle: "Spécification", SpecName: "Spécification", SpecVersion: "{name}, version {version}", Valid: "Validité", From: "à partir du {from}", Until: "jusqu’au {to}",
		ApprovedBy: "Approuvée par", Reads: "Mesure attendue",
		MethodTitle: "Méthode et instrument", Method: "Méthode", Instrument: "Instrument", Check: "Vérification de l’instrument", Found: "Constat",
		StatePassed: "réussie", StateOverdue: "EN RETARD", StateFailed: "ÉCHEC", StateUnknown: "NON ENREGISTRÉE", LastChecked: "dernière vérification {when}", DueBy: "échéance {when}",
		IssuedTitle: "Émission", IssuedBy: "Par", Issued: "Le", Program: "Programme", Number: "Numéro au registre", Checksum: "Somme de contrôle, SHA-256",
		Verify:        "La commande «\u202fpourpath verify\u202f» la confirme.",
		ReadingsTitle: "Mesures", ReadSample: "Échantillon", How: "Cuvette et dilution", Read: "Lue",
		Cautions: []string{
			"Cette déclaration porte sur la seule couleur et n’est pas une autorisation. Elle ne dit rien de la sécurité, du dioxyde de soufre, de l’alcool ni des allergènes, ni de la légalité de l’assemblage et de ce qu’annonce son étiquette\u202f: cela relève de leurs propres analyses, de la réglementation locale et des pratiques autorisées.",
			"Elle vaut pour les échantillons mesurés, dans l’état et à la date indiqués. La couleur change en bouteille, avec l’oxygène, le dioxyde de soufre et la conservation.",
			frenchTreated, frenchAllergy,
		},
		Signatures: []string{"Émise par, date", "Libéré par, date"},
	}
}
