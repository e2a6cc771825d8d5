// Package keep makes plans that keep kits, of orders too large to be solved outright:
// boards are loaded with kits one by one and filled up with what is wanted beside
// them (Load), and some boards of a plan are taken back and cut anew outright, again
// and again (Keeper). The search of three stages goes on from the loaded boards.
package keep
