// Package device holds the laws of one part: gain and saturation of a bipolar
// transistor, on-resistance and threshold of a MOSFET, safe area, contacts and
// coils of a relay. Numbers are SI, temperatures in degrees Celsius. A figure
// that the part does not state gives an unknown number or the bracket for its
// class (package catalog), never a guess.
package device
