package api

import (
	"mime"
	"strconv"
	"strings"
)

// negotiate returns which of the offered media types the header Accept likes
// best, the first offered among equals, or -1 when it takes none of them. No
// header takes any (RFC 9110, section 12.5.1).
func negotiate(accept string, offered []string) int {
	if strings.TrimSpace(accept) == "" {
		return 0
	}
	chosen, best := -1, 0.0
	for i, mediaType := range offered {
		if q := quality(accept, mediaType); q > best {
			chosen, best = i, q
		}
	}
	return chosen
}

// quality is the weight that accept gives to a media type: that of the most
// specific range that holds it, 0 where none does. Ranges that cannot be read
// are passed over.
func quality(accept, mediaType string) float64 {
	weight, closest := 0.0, 0
	for part := range strings.SplitSeq(accept, ",") {
		ranged, parameters, err := mime.ParseMediaType(strings.TrimSpace(part))
		if err != nil {
			continue
		}
		fit := specificity(ranged, mediaType)
		if fit <= closest {
			continue
		}
		q := 1.0
		if text, ok := parameters["q"]; ok {
			if q, err = strconv.ParseFloat(text, 64); err != nil || !(q >= 0 && q <= 1) {
				continue
			}
		}
		weight, closest = q, fit
	}
	return weight
}

// specificity is 3 for the type itself, 2 for its family, 1 for any, 0 for
// another.
func specificity(ranged, mediaType string) int {
	family, _, _ := strings.Cut(mediaType, "/")
	switch ranged {
	case mediaType:
		return 3
	case family + "/*":
		return 2
	case "*/*":
		return 1
	}
	return 0
}
