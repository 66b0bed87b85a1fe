package sheet

import "pourpath/reports"

// French returns the texts in French. The caller owns them.
func French() Texts {
	return Texts{
		Lang: "fr-FR", Figures: reports.French(),
		Page:          "Page {no} sur {count}",
		Conditions:    "Conditions\u202f: illuminant {illuminant}, observateur {observer}°, {mm}\u00a0mm de vin.",
		SwatchDepths:  "Pastilles\u202f: 10\u00a0mm et {mm}\u00a0mm d’épaisseur (dans le verre).",
		SwatchDepth:   "Pastilles\u202f: 10\u00a0mm d’épaisseur.",
		Convention:    "Dose\u202f: mL ajoutés pour 100\u00a0mL de base\u202f; {dose}\u00a0mL pour 100\u00a0mL = {share}\u202f% de l’assemblage.",
		Uncertainties: "± est une incertitude-type (k\u00a0=\u00a01). CIE 1976 L*a*b*\u202f; ΔE00 est CIEDE2000 avec kL\u00a0=\u00a0kC\u00a0=\u00a0kH\u00a0=\u00a01.",
		Print:         "Les pastilles sont des couleurs d’écran (sRGB, observateur 2°)\u202f; l’impression n’est pas une référence de couleur.",
		Clipped:       "Coin hachuré\u202f: hors du gamut sRGB, couleur approchée.",
		Mind:          "À noter",
		Cautions:      "Précautions",

		WinesTitle: "Vins et cible", Base: "Base", Addition: "Ajout", AdditionNo: "Ajout {no}", Target: "Cible",
		Held:         "Compris dans la base\u202f: {dose}\u00a0mL pour 100\u00a0mL de base",
		TwoAdditions: "Les doses sont celles de l’ajout 1 seul, pour 100\u00a0mL de base seule. Les autres sont dans la base de chaque verre à dose fixe\u202f; le\u202f% de l’assemblage les compte.",
		Lot:          "Lot {lot}", Tolerance: "Tolérance ΔE00\u00a0{de}",
		DoseLine: "{dose}\u00a0mL pour 100\u00a0mL de base · {share}\u202f% de l’assemblage",
		Range:    "{from} à {to}", PerBase: "mL pour 100\u00a0mL de base",
		DeedBase: "Base\u202f: {wine}", DeedAddition: "Ajouter {wine}", DeedOut: "Prélever", DeedBack: "Contre-entrée\u202f: annule l’entrée {no}",
		Yes: "oui", No: "non",
		Field: "à remplir à la main", Box: "case à cocher",
		SwatchIs: "couleur d’écran {hex}", SwatchOut: "couleur d’écran {hex}, hors gamut, approchée",

		Columns: frenchColumns(), Bench: frenchBench(), Trial: frenchTrial(), Order: frenchOrder(),
		Statement: frenchStatement(), Told: frenchTold(), Panel: frenchPanel(),
	}
}

func frenchColumns() ColumnTexts {
	return ColumnTexts{
		Done: "Fait", No: "N°", Time: "Heure", Glass: "Verre", What: "Quoi", WhatHow: "Quoi, avec quel outil", Wine: "Vin", Volume: "Volume, mL",
		Tool: "Outil", Total: "Total cumulé, mL", PlannedTotal: "Total prévu, mL", Poured: "Versé, mL",
		Dose: "Dose, mL pour 100\u00a0mL de base", Share: "% de l’assem.", At10MM: "10\u00a0mm", InGlass: "Verre, {mm}\u00a0mm", Target: "cible",
		Minutes: "Minutes depuis l’ajout", Note: "Remarques", Initials: "Initiales", Who: "Qui", Score: "Note",
		Capacity: "Capacité, mL", Graduation: "Un trait, mL", Limit: "Limite, mL", Source: "Classe et source",
		Unexplained: "ΔE00 avec la mesure",
		Vessel:      "Récipient", USGal: "gal US", ImpGal: "gal impérial", Stock: "Stock", OnHand: "Disponible, L", Needed: "Nécessaire, L",
		LeftOver: "Reste, L", Short: "Manque, L",
		Step: "Étape", PlannedL: "Prévu, L", AsDone: "Réalisé, L", BaseL: "Base, L", FirstL: "Première partie, L", HeldL: "Gardé en réserve, L",
		FirstDone: "Première, réalisé", TrimDone: "Ajustement, réalisé", Sample: "Échantillon", Look: "Limpide, trouble ou cristaux",
	}
}

// The cautions that all documents share, as in English.
const (
	frenchTreated = "Ne buvez jamais un échantillon traité pour une mesure (éthanal (acétaldéhyde), acide, bisulfite). Marquez-le, gardez-le à l’écart des verres de dégustation et jetez-le."
	frenchSO2     = "Dioxyde de soufre et ses sels\u202f: uniquement comme le permettent la réglementation locale et la fiche de données de sécurité du produit, par des personnes habilitées\u202f; avec aération et gants."
	frenchAlcohol = "Le vin est de l’alcool\u202f: goûtez et recrachez\u202f; aucune personne mineure, enceinte ou sur le point de conduire ou de travailler sur des machines ne goûte."
	frenchAllergy = "Le vin contient des sulfites. Quiconque y est sensible, ou a de l’asthme, ne goûte ni ne sent à la paillasse."
	frenchGlass   = "Un verre ébréché ou fêlé est écarté aussitôt. Ramassez le verre brisé à la balayette\u202f; le vin dans lequel il en est tombé est jeté."
	frenchLaw     = "Le droit local et l’autorisation d’exercer disent si l’on peut assembler un rouge à un blanc pour un rosé (coupage), et ce que l’étiquette peut alors indiquer de la couleur, du cépage, du millésime et de l’origine\u202f: renseignez-vous avant de doser la cuve."
	frenchStable  = "Deux vins stables séparément peuvent donner ensemble des cristaux de tartre ou une casse protéique\u202f: gardez un échantillon de l’assemblage au froid et regardez-le le lendemain, avant la mise en bouteille."
	frenchMalo    = "Un rouge qui a fait sa fermentation malolactique, dans un blanc contenant de l’acide malique ou du sucre, peut repartir en bouteille\u202f: dosez les deux, puis filtrez ou protégez l’assemblage comme le permet la réglementation locale."
)

func frenchBench() BenchTexts {
	return BenchTexts{
		Name: "Feuille de paillasse", BaseInGlass: "Base dans chaque verre", Tools: "Outils et leurs limites",
		Plan:    "Plan",
		PlanHow: "Suivez la liste de haut en bas. Cochez chaque ligne une fois versée\u202f; le total cumulé est ce que le verre a reçu de l’ajout.",
		Record:  "Versé et mesuré",
		RecordHow: "Notez ce qui a été versé, non ce qui était prévu. Une mesure faite juste après l’ajout est refaite le lendemain. " +
			"Les dernières lignes sont pour l’imprévu\u202f: gorgées, cuvettes remplies, erreurs.",
		RecordFields: []string{"Cuvette, mm", "Dilution", "Instrument", "Température, °C"},
		Notes:        "Remarques et notes",
		Cautions: []string{frenchTreated, "Un outil par vin, ou rincez-le avec le vin suivant\u202f; une goutte de rouge dans la base se voit.",
			frenchAlcohol, frenchAllergy, frenchGlass, frenchSO2},
	}
}

func frenchTrial() TrialTexts {
	return TrialTexts{
		Name: "Rapport d’essai", Lead: "Choix\u202f: {dose}", NoChoice: "Aucune dose n’a encore été choisie.",
		Log:    "Journal des ajouts",
		LogHow: "La dose est calculée d’après ce qui était dans le verre\u202f; ce qui a été prélevé avait la composition de l’ensemble. Une entrée marquée annulée ne compte pas.",
		Undone: "ANNULÉE", Against: "Mesuré et prévu",
		AgainstHow: "ΔE00 est ce que chaque tracé laisse inexpliqué de la couleur mesurée\u202f; avant de verser\u202f: d’après les deux vins seuls.",
		Measured:   "mesuré", Predicted: "prévu avant de verser", Learned: "tracé après toutes les mesures",
		Outlier: "ABERRANTE\u202f: signalée, non écartée", Repeat: "mesuré peu après l’ajout\u202f: refaire le lendemain",
		Notes: "Remarques et notes", Choice: "Choix", ChosenDose: "Dose choisie", Interval: "Intervalle à 95\u202f%",
		Nearest: "La plus proche de la cible", NearestInterval: "Son intervalle à 95\u202f%",
		PerLitre: "Pour un litre", PerLitreIs: "{base}\u00a0mL à ajouter à un litre de base\u202f; un litre d’assemblage fini en contient {blend}\u00a0mL",
		FromTarget: "ΔE00 prévu par rapport à la cible", TastedIn: "Goûté dans le verre", ChosenBy: "Choisi par", Reasons: "Motifs\u202f:",
		Final:     "Contrôle final",
		FinalNot:  "Non fait. Préparez de nouveau la dose choisie, en une seule fois, sur {ml}\u00a0mL ou plus\u202f; mesurez, gardez une nuit au froid et regardez de nouveau.",
		FinalDone: "Fait\u202f: la dose choisie a été préparée de nouveau, mesurée, gardée une nuit au froid et regardée de nouveau.",
		FinalPart: "Incomplet. Reste à faire\u202f: {todo}.",
		TodoPour:  "préparer de nouveau la dose choisie sur {ml}\u00a0mL ou plus", TodoRead: "la mesurer", TodoCold: "la garder une nuit au froid", TodoLook: "la regarder de nouveau le lendemain",
		PouredFresh: "Préparée de nouveau", Read: "Mesure", ReadFromTarget: "Son ΔE00 par rapport à la cible",
		KeptCold: "Gardée une nuit au froid", LookedAgain: "Regardée de nouveau le lendemain", Seen: "Vu alors", CheckedBy: "Contrôlé par",
		ScaleUp:  "Passage à la cave",
		Cautions: []string{frenchStable, frenchMalo, frenchTreated, frenchLaw, frenchSO2, frenchAlcohol, frenchAllergy, frenchGlass},
	}
}

func frenchOrder() OrderTexts {
	return OrderTexts{
		Name: "Ordre de travail", Lead: "Dose\u202f: {dose}", VolumesTitle: "Volumes", Dose: "Dose", Blend: "Assemblage",
		EachOf: "{count} × {name}, chacun", Total: "Les {count} récipients ensemble", VesselNo: "{name}, n°\u00a0{no}",
		BaseLed:     "D’APRÈS LA BASE, cet ordre\u202f: {size}\u00a0L de base, l’ajout vient en plus",
		BlendLed:    "D’APRÈS L’ASSEMBLAGE, cet ordre\u202f: {size}\u00a0L d’assemblage fini, ajout compris",
		NotBaseLed:  "D’après la base, PAS cet ordre\u202f: si {size}\u00a0L étaient de la base",
		NotBlendLed: "D’après l’assemblage, PAS cet ordre\u202f: si {size}\u00a0L étaient l’assemblage fini",
		Rounded:     "À mesurer", RoundedTo: "{base}\u00a0L de base et {addition}\u00a0L d’ajout ({steps})\u202f: {dose}",
		StepBase: "base par pas de {l}\u00a0L", StepAddition: "ajout par pas de {l}\u00a0L",
		RoundingError: "Erreur d’arrondi", RoundingDE: "ΔE00\u00a0{de} par rapport à la dose demandée",
		Gauge: "Jaugeage", GaugeIs: "base ±\u00a0{base}\u202f%, ajout ±\u00a0{addition}\u202f% (k\u00a0=\u00a01)\u202f: dose ±\u00a0{dose}\u00a0mL pour 100\u00a0mL de base",
		GaugeSteps: "d’après les pas seuls, aucune incertitude de jaugeage ni de mesure n’étant indiquée\u202f: dose ±\u00a0{dose}\u00a0mL pour 100\u00a0mL de base (k\u00a0=\u00a01)",
		GaugeDE:    "une telle incertitude de la dose fait ΔE00\u00a0{de}",
		Heel:       "Reste dans la conduite", HeelIs: "{l}\u00a0L d’ajout restent dans le tuyau et la pompe\u202f: mesurez cette quantité en plus, une fois",
		WithHeel: "Mesurez {out}\u00a0L\u202f; {heel}\u00a0L en restent dans la conduite.",
		Loss:     "Pertes", LossIs: "{percent}\u202f% de l’assemblage en chemin\u202f; les volumes en tiennent compte",
		AtMost: "≤\u00a0{l}",
		Steps:  "Étapes", StepsHow: "Dans cet ordre. Aucun vin ne peut être retiré\u202f: n’ajoutez le reste qu’une fois les échantillons mesurés.",
		StepGauge: "Jauger la base dans le récipient", StepFirst: "Ajouter la première partie, {percent}\u202f% de l’ajout",
		StepMix: "Mélanger\u202f: faire circuler une fois tout le volume, sans air", StepSample: "Prélever en haut et en bas\u202f; remélanger jusqu’à ce qu’ils concordent",
		StepMeasure: "Mesurer les deux échantillons et calculer l’ajustement", StepTrim: "Ajuster avec ce qui a été gardé en réserve",
		StepAgain: "Mélanger, prélever et mesurer de nouveau", StepCold: "Garder un échantillon une nuit au froid\u202f; chercher le lendemain cristaux et trouble",
		EachVessel: "Récipient par récipient", SamplesTitle: "Échantillons",
		Samples:      []string{"Haut, après la première partie", "Bas, après la première partie", "Haut, après l’ajustement", "Bas, après l’ajustement", "Gardé au froid, le lendemain"},
		SampleFields: []string{"Cuvette, mm", "Dilution", "Instrument", "Température, °C"},
		SamplesHow:   "Si haut et bas diffèrent de plus que la dispersion propre des mesures, la cuve n’est pas homogène. Un ajustement tiré de tels échantillons est une supposition.",
		Trim:         "Ajustement", TrimHow: "À remplir une fois les échantillons mesurés.",
		TankHas: "La cuve est à", TrimWith: "Ajouter",
		Passed:    "La cible est dépassée\u202f: n’ajoutez plus rien.",
		BringBack: "Base qui la ramène", BaseInterval: "Son intervalle à 95\u202f%",
		NotMixed:    "Haut et bas diffèrent\u202f: la cuve n’est pas homogène, aucun ajustement n’est donc indiqué. Mélangez, prélevez et mesurez de nouveau.",
		TrimAim:     "Vise",
		MayBePassed: "L’intervalle descend au-dessous de 0\u202f: la cible est peut-être déjà dépassée. Mesurez de nouveau avant d’ajouter.",
		TrimFields:  []string{"Ajustement, L", "Intervalle, L", "Ajouté, L", "Jauge après, L"},
		Signed:      "Signatures", Signatures: []string{"Ordonné par, date", "Versé par, date", "Mesuré par, date", "Échantillon froid vu par, date"},
		Cautions: []string{frenchStable, frenchMalo, frenchTreated, frenchLaw, frenchSO2,
			"Le dioxyde de carbone stagne dans les cuves et les fosses et tue\u202f: ne mettez jamais la tête dans une cuve\u202f; contrôlez l’air et travaillez à deux.",
			frenchAlcohol, frenchAllergy, frenchGlass},
	}
}
