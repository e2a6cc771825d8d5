// Package laminate tells what leaves become when they are glued up, flat or bent
// over a form: how many, how thick, how tight the form must be for the part to come
// out right after it springs back, and how long every leaf must be.
//
// Lengths are [length.Length]. A stack of n leaves of thickness t with n - 1 glue
// lines of thickness g is T = n t + (n - 1) g thick. A part is given by the radius
// R of its inner face; its centre line has R + T/2.
//
// Springback, by beam theory. Bending stiffness grows with the cube of the
// thickness. n loose leaves slide on each other as they are bent, and their
// stiffnesses add up: n t^3. Glued, they are one beam of (n t)^3. Taken off the
// form, the moment that bent the leaves is gone, and the stack gives back as much
// curvature as that moment bends the glued beam: n t^3 over (n t)^3, which is 1/n^2.
// So 1 - 1/n^2 of the form's curvature is kept, a single leaf keeps nothing, and
//
//	radius of the form at the centre line = (R + T/2) (1 - 1/n^2)
//
// and the form's face, on which the innermost leaf lies, is T/2 inside it. Common
// practice says the same of the rise x of a form: it loses x/n^2. Measured stacks of
// beech are in Forests 11 (2020) 725 (cited for the subject; no value is taken).
//
// Strain. A leaf bent over a form of radius r has the strain t / (2 r + t) in its
// outermost fibres. Curvature limits of glued structural members, from memory, after
// the National Design Specification for Wood Construction: a leaf over the radius of
// at most 1/100 for hardwoods and 1/125 for softwoods (southern pine, which is counted
// here with the others, may have 1/100 too), and a strength that falls to
// 1 - 2000 (t/R)^2. They are for dry leaves in structures; strips for furniture and
// instruments are bent tighter, wet and hot.
//
// Left out: glue that creeps (the part then springs back further), moisture that the
// glue brings, wood bent beyond its elastic range, and leaves of several thicknesses.
package laminate
