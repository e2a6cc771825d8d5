// Package wood knows kinds of wood by name, and how they move with moisture and
// what they weigh.
//
// It holds the gum class: how much a wood clogs teeth and gullets with gum or
// resin, as sawyers sort it. The classes are common practice; no publication
// grades them, and single boards differ. And it holds what is published of the
// dust: whether it sensitises skin or lungs. The table says of each wood where
// that was read, or that it is from memory; a wood that no list names may
// sensitise all the same.
//
// Moisture. Wood comes to a moisture content that temperature and humidity of the
// air set (the equilibrium), and swells and shrinks with it across the grain, twice
// as much along the growth rings as across them, and hardly along the grain.
// Moisture contents are in percent of the ovendry mass, temperatures in degrees
// Celsius. The formulas and the tables are those of the Wood Handbook (FPL-GTR-190
// and FPL-GTR-282, chapters 4, 5 and 13). The table says of each figure where it
// was read, or that it is from memory; a wood without a figure has none here either.
//
// Left out: the time that a leaf takes to follow the air (hours to days, by its
// thickness), what it does while one face is ahead of the other (cup), and the
// hysteresis between drying and taking up water.
//
// Names. A wood is found by its name in the table or by an alias, whatever the
// case, hyphens and word order: "walnut, black", "Black Walnut" and "walnut" are
// one wood. A name that several woods share, such as "oak", is all of them.
package wood
