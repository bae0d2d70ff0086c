// Package byear follows a student who looks for a known tune on the keyboard by
// ear: from any first note, in any octave, with either hand, with wrong tries,
// notes tried again, phrases begun again, and pauses of any length.
//
// What was played is aligned with the tune by dynamic programming over the place
// in the tune and the transposition, as melodies are compared by the least cost of
// the edits that turn one into the other (Mongeau and Sankoff, "Comparison of
// musical sequences", Computers and the Humanities 24, 1990), one key at a time
// while it sounds, by keeping the best alignments of all that came before
// (Dannenberg, "An on-line algorithm for real-time accompaniment", Proceedings of
// the 1984 International Computer Music Conference). A hypothesis says: the last note
// found is this one, and the tune lies so many keys above the written one. With
// each key struck every hypothesis goes on in all the ways a searching hand may: the
// note is right, right in another octave, a wrong try, the last note once more, a
// note left out, the phrase begun again, another phrase begun, or the tune begun
// on another key. Each step has a cost (tuned.go), of two ways to the same hypothesis
// the cheaper is kept, and hypotheses far behind the best are dropped. Lengths of
// notes and of pauses cost nothing.
//
// Nothing is said on the word of one hypothesis: a finding is told when every hypothesis
// within a margin of the best one has it.
package byear
