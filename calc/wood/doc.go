// Package wood knows kinds of wood by name.
//
// So far it holds the gum class: how much a wood clogs teeth and gullets with
// gum or resin, as sawyers sort it. The classes are common practice; no
// publication grades them, and single boards differ.
package wood
