package wood

import (
	"slices"
	"strings"
)

// index holds every species under all that it is called: its name, its aliases,
// each in the order of speech too ("black walnut"), and under the word that it
// shares with others ("oak").
func index(all []Species) map[string][]int {
	names, shared := map[string][]int{}, map[string][]int{}
	for i, s := range all {
		for _, name := range append([]string{s.Name}, s.Aliases...) {
			noun, kind, both := strings.Cut(name, ",")
			add(names, name, i)
			if both {
				add(names, kind+" "+noun, i)
			}
		}
		if noun, _, both := strings.Cut(s.Name, ","); both {
			add(shared, noun, i)
		}
	}
	for noun, kinds := range shared {
		if len(names[noun]) == 0 {
			names[noun] = kinds
		}
	}
	return names
}

// add notes that a name means a species, once.
func add(names map[string][]int, name string, species int) {
	k := key(name)
	if !slices.Contains(names[k], species) {
		names[k] = append(names[k], species)
	}
}

// key is a name without its case, hyphens, comma and needless blanks.
func key(name string) string {
	return strings.Join(strings.Fields(strings.NewReplacer(",", " ", "-", " ").Replace(strings.ToLower(name))), " ")
}

// All lists every species, by name.
//
// Source: names after the Wood Handbook, FPL-GTR-282, and the timber trade (from
// memory); gum classes common practice; dust as [Species.DustSource] says.
func All() []Species { return slices.Clone(species) }

// Find finds the one species that a name or an alias means, whatever the case,
// hyphens and word order.
//
// Source: as [All].
func Find(name string) (Species, bool) {
	if meant := Meant(name); len(meant) == 1 {
		return meant[0], true
	}
	return Species{}, false
}

// Meant gives all species that a name may mean, by name: one for a name or an
// alias, several where they share it, as kinds of oak do; none where the table
// does not have it.
//
// Source: as [All].
func Meant(name string) []Species {
	at := byName[key(name)]
	meant := make([]Species, len(at))
	for n, i := range at {
		meant[n] = species[i]
	}
	return meant
}
