package window

import "dewgap/products"

// Rewet is the other side of a row's Section: after how many minutes a film that
// lets so many people wash m2 square metres at once must be wetted again, seven
// tenths of its life. It is what sections solve for m2:
// the larger of m2/rate_dry + 1 and m2/rate_wash, in minutes.
func Rewet(m2 float64, people int, c products.Class) float64 {
	n := float64(max(people, 1))
	return max(m2/(n*dryRate)+1, m2/(n*washRate(c)/60))
}
