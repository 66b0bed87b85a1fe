package reports

import "pourpath/colour/control"

// French returns the texts in French. The caller owns them.
func French() Texts {
	return Texts{
		Lang: "fr-FR", Numbers: Numbers{DecimalMark: ",", GroupMark: "\u202f"},
		Shared: SharedTexts{
			View:          "Conditions\u202f: illuminant {illuminant}, observateur {observer}°, {mm}\u00a0mm de vin.",
			Conditions:    "Conditions\u202f: {conditions}.",
			GreenerRedder: "(− plus vert, + plus rouge)", Yellower: "+ plus jaune", Bluer: "− plus bleu",
			Range: "{from} à {to}", From: "à partir de {from}", UpTo: "jusqu’à {to}", FromTo: "de {from} à {to}",
			And: " et ", Colon: "\u202f: ", Semicolon: "\u202f; ",
			LotNo: "n°\u00a0{no}", LotNamed: "n°\u00a0{no}, {name}",
			LotsInTime: "Lots dans l’ordre chronologique",
			SpecFarOff: "La limite de la spécification à {value} est si éloignée qu’elle n’est pas tracée.",
			LeftOut:    "écarté", Tolerance: "tolérance", Reference: "référence",
		},
		Ladder: frenchLadder(), Chart: frenchChart(), Plane: frenchPlane(),
		Tolerance: frenchTolerance(), Preference: frenchPreference(),
		Drift:    frenchDrift(),
		Spectrum: frenchSpectrum(),
		History:  frenchHistory(),
		Rules:    frenchRules(),
		Charted: map[string]string{
			"L": "L*", "a": "a*", "b": "b*", "intensity": "intensité colorante", "tint": "nuance", "delta_e_00": "ΔE00 par rapport à la référence",
		},
		Parts: map[string]string{
			"delta_e_00": "ΔE00 par rapport à la référence", "delta_e_ab": "ΔE*ab par rapport à la référence", "L": "L*", "a": "a*", "b": "b*", "C": "C*", "h": "h",
			"intensity": "Intensité", "tint": "Nuance", "yellow_percent": "Part de jaune", "red_percent": "Part de rouge", "blue_percent": "Part de bleu",
			"hotelling_t2": "T² par rapport aux lots approuvés",
		},
	}
}

func frenchLadder() LadderTexts {
	return LadderTexts{
		Title: "Échelle des doses", Base: "Base\u202f: {wine}.", Addition: "Ajout\u202f: {wine}.",
		HeldWine: " + {dose}\u00a0mL de {wine} pour 100\u00a0mL", WineNo: "vin {no}",
		Nearest:        "La plus proche\u202f: {dose}\u00a0mL pour 100\u00a0mL de base = {share}\u202f% de l’assemblage.",
		NearestApart:   "La plus proche\u202f: {dose}\u00a0mL pour 100\u00a0mL de base = {share}\u202f% de l’assemblage, ΔE00\u00a0{de}.",
		Interval:       "Intervalle à 95\u202f%\u202f: {range}.",
		Acceptable:     "Acceptables (probabilité ≥\u00a00,95)\u202f: {range}.",
		NoneAcceptable: "Aucune dose n’est dans la tolérance avec une probabilité ≥\u00a00,95.",
		Unexplained:    "De ce qui a été mesuré, le tracé laisse ΔE00\u00a0{left} inexpliqué.", UnexplainedBefore: "De ce qui a été mesuré, le tracé laisse ΔE00\u00a0{left} inexpliqué\u202f; avant recalage, ΔE00\u00a0{before}.",
		ViewSwatches:   "Conditions\u202f: illuminant {illuminant}, observateur {observer}°, {mm}\u00a0mm de vin\u202f; pastilles de 10\u00a0mm et {glass}\u00a0mm d’épaisseur.",
		Convention:     "Dose\u202f: mL ajoutés pour 100\u00a0mL de base\u202f; {dose}\u00a0mL pour 100\u00a0mL = {share}\u202f% de l’assemblage.",
		Method:         "CIE 1976 L*a*b* d’après la transmittance, de 380 à 780\u00a0nm\u202f; ΔE00 est CIEDE2000 avec kL\u00a0=\u00a0kC\u00a0=\u00a0kH\u00a0=\u00a01.",
		Band:           "Bande grise\u202f: k\u00a0=\u00a02, le plus que permettent en travers du tracé les incertitudes de a* et b*.",
		NoOutline:      "Contour de la tolérance\u202f: aucun, car ΔE00 n’atteint pas la tolérance dans toutes les directions.",
		OutlineNearest: "Contour de la tolérance\u202f: ΔE00\u00a0{de} autour de la cible, à L*\u00a0{l}, celui du point le plus proche.",
		OutlineOwn:     "Contour de la tolérance\u202f: ΔE00\u00a0{de} autour de la cible, à L*\u00a0{l}, le sien.",
		OutlineOwnFar:  "Contour de la tolérance\u202f: ΔE00\u00a0{de} autour de la cible, à L*\u00a0{l}, le sien, car celui du point le plus proche est hors tolérance.",
		Print:          "L’impression n’est pas une référence de couleur.",
		SwatchesPrint:  "Les pastilles sont des couleurs d’écran (sRGB, observateur 2°)\u202f; l’impression n’est pas une référence de couleur.",
		Clipped:        "Coin hachuré\u202f: hors du gamut sRGB, couleur approchée.",
		Panels:         "Volets\u202f: le tracé de la couleur dans le plan a*b*\u202f; L* et ΔE00 selon la dose\u202f; les pastilles.",
		Path:           "Tracé de la couleur", Lightness: "Clarté L*",
		FromTarget: "ΔE00 par rapport à la cible", FromRung: "ΔE00 par rapport à l’échelon précédent", FromLowest: "ΔE00 par rapport à la plus petite dose",
		NotDrawn: "(plus de {de} non tracé)", Blank: "Pas encore de doses\u202f: le tracé s’affichera ici.",
		DoseAxis: "Dose, mL pour 100\u00a0mL de base", ShareAxis: "(% de l’assemblage)", ToleranceAt: "tolérance {de}", Percent: "{share}\u202f%", Percent95: "95\u202f%",
		KeyPath: "tracé prévu", KeyRecalibrated: "tracé recalé", KeyBefore: "tracé avant recalage", KeyBand: "incertitude k\u00a0=\u00a02",
		KeyRung: "échelon, mL pour 100\u00a0mL", KeySome: "échelon, mL pour 100\u00a0mL ({shown} sur {count} montrés)",
		KeyMeasured: "mesuré, barres k\u00a0=\u00a02", KeyLeft: "laissé inexpliqué", KeyNearest: "le plus proche de la cible", KeyTarget: "cible",
		KeyAcceptable: "acceptable (probabilité ≥\u00a00,95)", KeyNominal: "dans la tolérance, sans compter l’incertitude",
		Deep: "{mm}\u00a0mm de vin", DosePer100: "mL pour 100\u00a0mL", ShareOfBlend: "% de l’assem.",
		SwatchBase: "base", SwatchNearest: "proche", SwatchOfTarget: "cible",
	}
}

func frenchChart() ChartTexts {
	return ChartTexts{
		Title: "Graphique des lots", TitleOf: "Graphique\u202f: {quantity}", Colour: "Couleur", Together: "L*, a*, b* ensemble",
		Of: "{quantity}\u202f: {product}", OfSpec: "{quantity}\u202f: lots comparés à {spec}", OfLots: "{quantity} des lots",
		NewestDrawn: "Tracés\u202f: les derniers lots, {shown} sur {count}\u202f; tous comptent.", PartDrawn: "Les lots {first} à {last} sur {count} sont tracés\u202f; tous comptent.",
		FromAll: "d’après les {count} lots de la période", FromFirstOf: "d’après les {first} premiers lots sur {count}",
		AxisNumber: "(numéro)", AxisNumberName: "(numéro et nom du lot)",
		KeyLot: "lot", KeyBeyond: "signal\u202f: un lot au-delà d’une limite", KeyPattern: "signal\u202f: un motif, là où il est apparu", KeyMakes: "lots qui le forment", KeyNumbers: "chiffres\u202f: voir dessous",
		NewestTold: "Les {shown} derniers signaux sur {count}\u202f; ceux d’avant ({more}) sont marqués sans numéro.",
		SignalAt:   "{lot}\u202f: {rule}. {text}", SignalOn: "{panel}, {lot}\u202f: {rule}. {text}",
		LeftOut: "Écartés\u202f: {lots}.", LeftOutMore: "Écartés\u202f: {lots}\u202f; et d’autres ({more}).",
		BasePeriod: "période de base", Mean: "moyenne", LowerAction: "action inf.", UpperAction: "action sup.", LowerWarning: "alerte inf.", UpperWarning: "alerte sup.",
		SpecLower: "spéc. inf.", SpecUpper: "spéc. sup.", MeanRange: "étendue moy.", Centre: "centre", Action: "action", Median: "médiane",
		SingleLots: "Lots individuels\u202f: {quantity}", MovingRange: "Étendue mobile\u202f: d’un lot au précédent",
		RunningAverage: "Moyenne glissante (EWMA)\u202f: {quantity}, poids du dernier lot {weight}", TogetherOf: "Ensemble\u202f: T² de Hotelling de {names}", RunPlot: "Suite chronologique\u202f: {quantity}",
		SingleSaid:   "Lots individuels\u202f: moyenne {mean}, écart-type {sigma}, {from}. {signals}",
		AverageSaid:  "Moyenne glissante\u202f: limites à {width} écarts-types de la moyenne, {from}. {signals}",
		TogetherSaid: "T² de {names}\u202f: limite à une fausse alerte tous les {lots} lots, {from}. {signals}",
		Single:       SignalTexts{"Aucun signal dans les lots individuels et les étendues.", "1 signal dans les lots individuels et les étendues.", "{count} signaux dans les lots individuels et les étendues."},
		Average:      SignalTexts{"Aucun signal dans la moyenne glissante.", "1 signal dans la moyenne glissante.", "{count} signaux dans la moyenne glissante."},
		T2:           SignalTexts{"Aucun signal dans T².", "1 signal dans T².", "{count} signaux dans T²."},
		LotsOne:      "1 lot", LotsMany: "{count} lots", Series: "{lots}.", SeriesNamed: "{lots}, de {first} à {last}.",
		SeriesOut: "{lots}\u202f; écartés\u202f: {out}.", SeriesNamedOut: "{lots}, de {first} à {last}\u202f; écartés\u202f: {out}.",
		FromEarlier: "d’après une période antérieure", FromFirst: "d’après les {count} premiers lots", FromThese: "d’après ces {count} lots",
		Conditions: "{illuminant}, observateur {observer}°, {mm}\u00a0mm de vin, d’après {source}", PlaneConditions: "couleurs d’après {source}",
		Sources:    map[string]string{"readings": "quelques absorbances", "spectrum": "un spectre", "cielab": "L*, a*, b* indiqués"},
		Outside:    "Spécification\u202f: {limits}\u202f; hors limites, sans compter l’incertitude\u202f: {out} sur {count}. Les limites d’action disent ce que font d’ordinaire les lots, non ce qu’ils doivent faire.",
		LimitsFrom: "à partir de {lower}", LimitsTo: "jusqu’à {upper}", LimitsBoth: "de {lower} à {upper}",
		IndividualsMethod: "Valeurs individuelles et étendue mobile selon ISO 7870-2\u202f: limites d’action à 3, limites d’alerte à 2 écarts-types (étendue mobile moyenne / 1,128). Règles recherchées\u202f: {rules}.",
		AverageMethod:     "Moyenne glissante selon ISO 7870-6\u202f: une moyenne mobile à pondération exponentielle à partir du centre.",
		TogetherMethod:    "T² est le carré de la distance à la moyenne de la période de base, selon les directions et l’ampleur de la dispersion des lots\u202f; la limite des lots de la période de base est plus basse que celle des suivants.",
	}
}

func frenchPlane() PlaneTexts {
	return PlaneTexts{
		Title: "Couleur des lots", Newest: "Dernier lot\u202f: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b}.", NewestNamed: "Dernier lot, {name}\u202f: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b}.",
		NewestU: "Dernier lot\u202f: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b} (k\u00a0=\u00a02).", NewestNamedU: "Dernier lot, {name}\u202f: L*\u00a0{l}, a*\u00a0{a}, b*\u00a0{b} (k\u00a0=\u00a02).",
		KeyNewest: "dernier lot", KeyNewestBars: "dernier lot, barres k\u00a0=\u00a02", KeyLot: "lot", KeyBefore: "avant les {count} derniers", KeyOffPath: "avant les {count} derniers, hors tracé",
		Method: "CIE 1976, coordonnées L*a*b*.", Drawn: "La région est tracée à la valeur L* du dernier lot, {l}\u202f: pour les autres lots, elle n’est qu’un repère.", NotDrawn: "Non tracé\u202f: {part}, {why}.",
		Panels: "Volets\u202f: les lots ({count}) en un tracé dans le plan a*b*\u202f; L* au fil des lots.",
		Path:   "Tracé des lots dans le temps", Lightness: "Clarté L* au fil des lots", Difference: "ΔE00 par rapport à la référence", Spec: "spéc.",
		DeltaE: "ΔE00\u00a0{de} par rapport à la référence", Weights: "{part} (kL\u00a0{l}, kC\u00a0{c}, kH\u00a0{h})",
		LimitsA: "limites de a*", LimitsB: "limites de b*", LimitsAB: "limites de a* et b*", Ellipsoid: "ellipsoïde des lots approuvés",
		NoMeet: "qu’aucune couleur de cette clarté L* ne respecte", NoReach: "car ΔE00 ne l’atteint pas dans toutes les directions",
	}
}

func frenchTolerance() ToleranceTexts {
	return ToleranceTexts{
		Title:  "Place dans la tolérance",
		KeyLot: "le lot", KeyLotBars: "le lot, barre k\u00a0=\u00a02 ou 95\u202f%", KeyAllowed: "permis", KeyLimit: "limite", KeyWarning: "limite d’alerte",
		KeyScales: "chaque ligne a sa propre échelle",
		Below:     "dessous, valeur seule", Above: "dessus, valeur seule", BeyondWarning: "dedans, en alerte", Within: "dans les limites",
		Probability: "probabilité {p}", Interval: "{value} (95\u202f%\u202f: {from} à {to})", Part: "{quantity} {value}\u202f: {side}, permis {allowed}.",
		Against: "{illuminant}, observateur {observer}°, {mm}\u00a0mm. Spécification {spec}, version {version}.",
	}
}

func frenchDrift() DriftTexts {
	return DriftTexts{
		Title: "Comment la couleur dérive", TitleOf: "Comment la couleur dérive\u202f: {product}",
		Storage: "Conservation\u202f: {storage}", StorageUntold: "Conservation non indiquée", OneLotIn: "{conditions}\u202f; les mesures d’un lot sur {count} sont tracées",
		Bottling: "la mise en bouteille", Absorbance: "A{nm}, pour 10\u00a0mm", Days: "Jours depuis {clock}",
		KeyLot: "un lot au niveau médian", KeyOneMore: "où se trouve un lot supplémentaire, à 95\u202f%",
		KeyReading: "une mesure, son lot ramené à ce niveau", KeyFar: "très éloignée\u202f: compte peu ou pas",
		Said: "{readings} mesures de {lots} lots\u202f; du jour {first} au jour {last}\u202f: {bands}.", Band: "A{nm} de {first} à {last} ({lower} à {upper})",
		Far:    "Mesures très éloignées\u202f: {count}.",
		Method: "Dans 95\u202f% des cas, un lot supplémentaire se trouve dans les intervalles\u202f: ils comptent ce que la moyenne a d’incertain et ce qui distingue les lots. Le niveau d’un lot lui est propre\u202f; ce que les lots ont en commun, c’est leur évolution.",
	}
}

func frenchSpectrum() SpectrumTexts {
	return SpectrumTexts{
		Title: "Spectre d’absorbance", TitleOf: "Spectre d’absorbance\u202f: {name}",
		Absorbance: "Absorbance pour 10\u00a0mm de vin non dilué", Wavelength: "Longueur d’onde, nm",
		KeyBand: "deux incertitudes-types de part et d’autre (k\u00a0=\u00a02)", KeyRead: "valeurs lues, ramenées à 10\u00a0mm", KeyScan: "points du spectre lu, ramenés à 10\u00a0mm",
		KeyMarks:      "420, 520, 620\u00a0nm\u202f: intensité et nuance",
		ReadingsCurve: "estimé entre les valeurs lues", ReadingsHow: "Entre les valeurs lues, le spectre est estimé d’après les formes qu’ont les spectres de vins.",
		ScanCurve: "le spectre lu, tous les 5\u00a0nm", ScanHow: "La courbe est le spectre lu, ramené à une valeur tous les 5\u00a0nm.",
		ColourCurve: "estimé à partir de L*, a*, b*", ColourHow: "Aucune absorbance n’a été lue\u202f: c’est le spectre de vin le plus plausible qui ait la couleur indiquée.",
		BlendCurve: "prévu", BlendHow: "Le spectre d’un assemblage, d’après les volumes de ses vins.",
		Said: "Pour 10\u00a0mm {values} (k\u00a0=\u00a02). {how}", At: "A{nm} {value} ± {u}",
		Method: "Les absorbances sont décimales, pour un trajet optique de 10\u00a0mm de vin non dilué, quelles que soient la cuvette et la dilution employées.",
	}
}

func frenchHistory() HistoryTexts {
	return HistoryTexts{
		Title: "Mesures au fil du temps", TitleOf: "Mesures au fil du temps\u202f: {name}",
		Conditions: "L*, a*, b* sous D65, observateur 10°, pour 10\u00a0mm de vin non dilué", Newest: "{conditions}\u202f; les mesures les plus récentes\u202f; il y en a de plus anciennes",
		Intensity: "Intensité colorante (A420 + A520 + A620), pour 10\u00a0mm", Tint: "Nuance (A420/A520)", When: "Date de la mesure, UTC",
		KeyReading: "une mesure, barre de deux incertitudes-types de part et d’autre (k\u00a0=\u00a02)", KeySuperseded: "remplacée par une correction",
		One: "1 mesure, du {from} au {to}.", Many: "{count} mesures, du {from} au {to}.",
		Superseded: "Remplacées, tracées en points vides\u202f: {count}.", LeftOut: "Non tracées\u202f: {counts}.", Archived: "{count} pour archivage", Colourless: "{count} sans couleur de vin",
		Method: "Chaque mesure prise seule, répétitions comprises. Des mesures faites dans une autre cuvette, à une autre dilution ou d’une autre façon peuvent différer pour cette seule raison.",
		Day:    "02/01/2006", Month: "01/2006",
	}
}

func frenchRules() map[control.Rule]string {
	return map[control.Rule]string{
		control.BeyondAction:        "Western Electric\u00a01, Nelson\u00a01\u202f: un point au-delà d’une limite d’action",
		control.TwoOfThree:          "Western Electric\u00a02, Nelson\u00a05\u202f: deux points sur trois au-delà d’une limite d’alerte",
		control.FourOfFive:          "Western Electric\u00a03, Nelson\u00a06\u202f: quatre points sur cinq au-delà d’un écart-type",
		control.EightOneSide:        "Western Electric\u00a04\u202f: huit points de suite d’un même côté du centre",
		control.NineOneSide:         "Nelson\u00a02\u202f: neuf points de suite d’un même côté du centre",
		control.SixTrend:            "Nelson\u00a03\u202f: six points de suite en hausse ou en baisse",
		control.FourteenAlternating: "Nelson\u00a04\u202f: quatorze points de suite tour à tour en hausse et en baisse",
		control.FifteenNear:         "Nelson\u00a07\u202f: quinze points de suite à moins d’un écart-type",
		control.EightFar:            "Nelson\u00a08\u202f: huit points de suite des deux côtés, aucun à moins d’un écart-type",
		control.RangeBeyond:         "étendue mobile au-dessus de sa limite d’action",
		control.AverageBeyond:       "moyenne glissante pondérée au-delà de sa limite d’action",
		control.TogetherBeyond:      "T² au-dessus de sa limite d’action",
	}
}

func frenchPreference() PreferenceTexts {
	return PreferenceTexts{
		Title:       "Ce que le jury préfère",
		Shares:      "{judges} juges ont placé chaque verre avant cette part des autres\u202f: {glasses}.",
		Glass:       "{dose}\u00a0mL, {share}\u202f%",
		Preferred:   "Préférée\u202f: {dose}\u00a0mL pour 100\u00a0mL de base, {share}\u202f% de l’assemblage\u202f; intervalle à {level}\u202f%\u202f: de {from} à {to}\u00a0mL, de {fromshare} à {toshare}\u202f%.",
		NoDose:      "Aucune dose préférée\u202f: les réponses ne montrent ni que les juges préfèrent un verre, ni que tous se valent pour eux.",
		View:        "Conditions\u202f: illuminant {illuminant}, observateur {observer}°, {mm}\u00a0mm de vin. Un cercle a la couleur de 10\u00a0mm de son vin.",
		Method:      "Volet B\u202f: part des autres verres, en\u00a0%, avant lesquels un verre a été placé\u202f; les ex æquo comptent pour moitié. Intervalles à {level}\u202f% sur les juges, avec un juge de plus qui répond au hasard.",
		Path:        "Tracé de la couleur\u202f: grands cercles, verres préférés",
		Along:       "Préférence selon la dose, en\u00a0%",
		DoseAxis:    "mL pour 100\u00a0mL de base",
		KeyGlass:    "un verre avec ses mL pour 100\u00a0mL, d’autant plus grand qu’il est préféré",
		KeyPath:     "tracé",
		KeyInterval: "intervalle d’un verre",
		KeyCurve:    "courbe avec son intervalle",
		KeyEven:     "aussi souvent avant qu’après les autres",
		KeyBest:     "dose préférée avec son intervalle",
	}
}
