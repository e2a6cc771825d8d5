// Package upkeep tells what a saw needs next, and what to look for when it does not
// cut as it should.
//
// Care. A thing to care for (clean the blade, change it, clean the tyres) comes due
// after so many cuts, so much sawn area or so many hours, whichever is first. Areas
// are in square millimetres. It is soon due from four fifths of an interval on, due
// from the whole of it, and overdue from a quarter more; these shares are of this
// package, the intervals of the shop. Practice counts by area and by cuts.
//
// A blade's kerf shrinks as its set wears: a kerf that was measured is good for the
// area around which it was measured, and is measured again when the blade has sawn
// more.
//
// Symptoms. A table, symptoms.csv, says for each symptom what may cause it, how to
// find out, and what to do, the cheapest first, all of it common practice of the
// trade. A test holds that every cause has a check and a remedy.
//
// Left out: electrical faults, and everything that the saw's manual keeps for its
// maker or for licensed practice.
package upkeep
