// Package wood knows kinds of wood by name.
//
// It holds the gum class: how much a wood clogs teeth and gullets with gum or
// resin, as sawyers sort it. The classes are common practice; no publication
// grades them, and single boards differ. And it holds what is published of the
// dust: whether it sensitises skin or lungs. The table says of each wood where
// that was read, or that it is from memory; a wood that no list names may
// sensitise all the same.
//
// Names. A wood is found by its name in the table or by an alias, whatever the
// case, hyphens and word order: "walnut, black", "Black Walnut" and "walnut" are
// one wood. A name that several woods share, such as "oak", is all of them.
package wood
