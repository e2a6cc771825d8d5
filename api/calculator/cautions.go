package calculator

// sawCautions are the usual cautions of the trade at a running bandsaw. They
// end by deferring to whoever knows the machine and the place.
//
// Sources: guarding after 29 CFR 1910.213(i) and WAC 296-806-48042 (guard as
// low as practical; no distance is printed there); exposure limits for wood
// dust as OSHA's wood dust page lists them (OSHA 15 mg/m3 total, 5 mg/m3
// respirable; NIOSH 1 mg/m3; ACGIH 1 mg/m3, western red cedar 0.5 mg/m3); the
// rest is common practice.
var sawCautions = []string{
	"Guard and guides as low as the work allows; hands never in line with the blade nor in front of it.",
	"Never back out of an unfinished cut with the blade running: switch off and wait until it stands.",
	"Unplug the saw to change, clean or inspect the blade.",
	"Slivers break off thin leaves and fresh edges: deburr, wear eye protection, no gloves near the running blade.",
	"Smoke means heat: stop, find out why, and look for embers in the dust collector before you leave.",
	"Oily rags heat up by themselves: spread them out to dry or drown them in a metal can.",
	"Wood dust harms breathing and some of it causes cancer: collect it at the source and wear a respirator. Limits: OSHA 15 mg/m3 total and 5 mg/m3 respirable, NIOSH and ACGIH 1 mg/m3, western red cedar 0.5 mg/m3.",
	"Some species sensitise skin and lungs (western red cedar, oak, mahogany among them): stop when you react.",
	"Wear hearing protection.",
	"Power feed needs a stop within reach.",
	"The saw's manual, local codes and licensed practice rule over anything said here.",
}
