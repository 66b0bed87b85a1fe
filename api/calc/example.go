package calc

// Whole requests that work, one for each calculation: the interface's
// description shows them and the commands print them. The wines are invented.
const (
	ExampleColour = `{
  "wine": {
    "name": "Rosé, tank 7",
    "readings": {"a420": 0.142, "a520": 0.118, "a620": 0.021, "path_mm": 10}
  }
}`

	ExampleBlend = `{
  "wines": [
    {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10}},
    {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}}
  ],
  "volumes_ml": [100, 8]
}`

	ExampleLadder = `{
  "base": {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10,
    "extra": [{"nm": 460, "absorbance": 0.048}, {"nm": 560, "absorbance": 0.014}]}},
  "addition": {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1,
    "extra": [{"nm": 460, "absorbance": 0.229}, {"nm": 560, "absorbance": 0.262}]}},
  "base_ml": 100,
  "doses_ml": [0, 2, 4, 6, 8, 10, 12, 15, 20],
  "target": {"cielab": {"L": 85, "a": 16, "b": 4}, "tolerance": {"delta_e_00": 3}},
  "measured": [
    {"dose_ml": 6, "wine": {"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "path_mm": 10,
      "extra": [{"nm": 460, "absorbance": 0.160}, {"nm": 560, "absorbance": 0.144}]}}}
  ]
}`

	ExampleMatch = `{
  "wines": [
    {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10}},
    {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1}},
    {"name": "Golden white", "readings": {"a420": 0.241, "a520": 0.052, "a620": 0.015, "path_mm": 10}}
  ],
  "target": {"cielab": {"L": 85, "a": 13, "b": 12}, "tolerance": {"delta_e_00": 1.5}},
  "limits": [{"wine": 1, "max_fraction": 0.15}]
}`

	ExampleScale = `{
  "dose_ml_per_100ml": 8.5,
  "bottles": {"count": 600, "ml": 750},
  "loss_percent": 2,
  "stock": {"base_l": 450, "addition_l": 60}
}`

	ExampleTrim = `{
  "base": {"name": "White base", "readings": {"a420": 0.085, "a520": 0.021, "a620": 0.008, "path_mm": 10,
    "extra": [{"nm": 460, "absorbance": 0.048}, {"nm": 560, "absorbance": 0.014}]}},
  "addition": {"name": "Young red", "readings": {"a420": 0.231, "a520": 0.398, "a620": 0.067, "path_mm": 1,
    "extra": [{"nm": 460, "absorbance": 0.229}, {"nm": 560, "absorbance": 0.262}]}},
  "measured": [
    {"dose_ml": 6, "wine": {"readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "path_mm": 10,
      "extra": [{"nm": 460, "absorbance": 0.160}, {"nm": 560, "absorbance": 0.144}]}}}
  ],
  "tank": {"base_l": 1000, "u_base_l": 6, "poured_l": 54, "u_poured_l": 0.3, "room_l": 60},
  "top": {"readings": {"a420": 0.185, "a520": 0.198, "a620": 0.040, "path_mm": 10,
    "extra": [{"nm": 460, "absorbance": 0.149}, {"nm": 560, "absorbance": 0.132}]}},
  "bottom": {"readings": {"a420": 0.186, "a520": 0.199, "a620": 0.040, "path_mm": 10,
    "extra": [{"nm": 460, "absorbance": 0.150}, {"nm": 560, "absorbance": 0.132}]}},
  "target": {"wine": {"name": "Glass of 6 mL", "readings": {"a420": 0.196, "a520": 0.216, "a620": 0.043, "path_mm": 10,
    "extra": [{"nm": 460, "absorbance": 0.160}, {"nm": 560, "absorbance": 0.144}]}}, "tolerance": {"delta_e_00": 1.5}}
}`

	ExampleCheck = `{
  "spec": {
    "name": "House rosé",
    "target": {"cielab": {"L": 84.2, "a": 13.1, "b": 8.4}},
    "tolerance": {"delta_e_00": 2},
    "limits": {"L": [80, 90], "h": [20, 50]},
    "warning": {"tolerance": {"delta_e_00": 1}},
    "rule": "guarded",
    "max_risk": 0.05
  },
  "wine": {"name": "Lot 12", "cielab": {"L": 84.6, "a": 12.85, "b": 8.71, "path_mm": 10}}
}`

	ExampleFeasibility = `{
  "spec": {
    "name": "House rosé",
    "target": {"cielab": {"L": 84.2, "a": 13.1, "b": 8.4}},
    "tolerance": {"delta_e_00": 1.5, "kL": 2},
    "limits": {"yellow_percent": [35, 55]},
    "reading_method": {"source": "readings", "extra_nm": [460, 560], "path_mm": 20},
    "rule": "guarded",
    "max_risk": 0.05
  }
}`
)
