// Package score measures how good forecasts were that said how sure they are,
// once it is known what came.
//
// Three questions, three kinds of score:
//
//   - How far off is a number with its doubt? The continuous ranked probability
//     score, [CRPS] of members and [CRPSNormal] of a normal: in the unit of the
//     quantity, 0 is best, and for a forecast without doubt it is the absolute
//     error. [Pinball] is the same for one quantile.
//   - Was 80 % right in 80 of 100? [Reliability] by how sure it was said,
//     [CalibrationError] in one number, [Ranks] for members.
//   - Was it of use to say so? [Brier] with its parts ([Decompose]), and [Skill]
//     against a simpler forecast.
//
// Inputs are finite numbers; what is missing must be left out by the caller. A
// score of no cases does not exist: ok is false. Nothing here knows weather.
package score
