// Package keep makes plans that keep kits, of orders too large to be solved outright:
// boards are loaded with kits one by one and filled up with what is wanted beside
// them (Load), a plan made without regard to kits is searched for them (Assign), and
// some boards of a plan are taken back and cut anew outright, again and again
// (Keeper).
package keep
