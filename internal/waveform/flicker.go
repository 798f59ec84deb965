package waveform

import "math"

// Light that is switched fully on and off is taken for steady by practically
// everyone above FlickerFree hertz, and is a low risk above LowFlicker: IEEE Std
// 1789-2015, recommended practice, from memory (modulation in percent at most
// 0.08 times the frequency in hertz for low risk, 0.0333 times for none).
const (
	LowFlicker  = 100 / 0.08
	FlickerFree = 100 / 0.0333
)

// lampLight is the power of the filament's temperature that its visible light
// follows near 2800 K (light goes with voltage^3.4 and temperature with
// voltage^0.4; common practice, no source).
const lampLight = 8.5

// FilamentFlicker is the pwm frequency, Hz, from which a filament's light is of
// low risk at any duty: its temperature swings by (1 - D)/(F*Tau) of itself at
// most, its light by lampLight times that, half of it either way, and the swing
// in percent may be 0.08*F. Never above LowFlicker, which needs no heat capacity.
func FilamentFlicker(tau float64) float64 {
	if !(tau > 0) {
		return LowFlicker
	}
	return min(LowFlicker, math.Sqrt(100*lampLight/2/0.08/tau))
}
