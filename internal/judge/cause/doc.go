// Package cause explains many findings by one cause: a player who is a fifth too high
// is told that, and not forty wrong notes; and is judged a fifth too high until they
// stop being so.
//
// It wraps the engine. While most strokes are right it passes findings on. Where a
// stretch goes wrong, findings are kept back, for two bars at most, and what was played
// is judged anew in other ways: each a reading, as if the score stood in another key,
// say. A reading is taken by its description length, in nats: of a mistake and of a note
// that no right stroke explains, each so much, and of naming the reading itself. What
// one saves must be more than what it costs to name, by a margin, and most strokes must
// be right under it. Then judging goes on so, and the reading is doubted as the score as
// written was before.
//
// A reading tells of what is struck (another key), of when (another tempo), or of both:
// a cause for each. It holds from somewhere in the stretch on; what is wanted before that
// is judged as before.
//
// Where the player leads, the time is theirs: readings are of what is struck alone, and
// each is followed anew, and holds from where the doubt begins. Notes that no stroke
// explains count as mistakes do, since who is lost is told of none. That the player went
// elsewhere is found by the way through the score that explains best what was struck, and
// when; and a tempo is only told.
//
// All is worked out from findings and the times of the events, so that it is the same
// however often time is let pass.
package cause
