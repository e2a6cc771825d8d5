// Package pack makes plans without a linear program: bounds by sizes alone, boards
// filled one by one, and pieces exchanged between boards.
package pack
