package main

import (
	"cmp"
	"strings"
)

// quantityName is what people call a quantity that has limits; one without a name of
// its own keeps that of the interface.
func quantityName(quantity string) string {
	return cmp.Or(map[string]string{
		"delta_e_00": "ΔE00", "delta_e_ab": "ΔE*ab", "L": "L*", "a": "a*", "b": "b*", "C": "C*", "h": "hue angle",
		"yellow_percent": "share of A420", "red_percent": "share of A520", "blue_percent": "share of A620",
		"ellipsoid": "region of approved lots",
	}[quantity], quantity)
}

// quantityNames are the names of several.
func quantityNames(quantities []string) string {
	names := make([]string, len(quantities))
	for i, q := range quantities {
		names[i] = quantityName(q)
	}
	return strings.Join(names, ", ")
}
