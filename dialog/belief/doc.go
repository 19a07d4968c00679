// Package belief computes how likely each cause is, given what is known.
package belief
