package design

// CheckID is a check of the contract. The order of the constants is the order
// of the list, the last key wherever checks are ordered.
type CheckID uint8

// The checks.
const (
	PinCurrent CheckID = iota
	PinVoltage
	StaysOff
	BaseDrive
	Saturation
	BaseReverse
	GateDrive
	GateVoltage
	BlockingVoltage
	OnCurrent
	PeakCurrent
	JunctionTemperature
	SafeArea
	Avalanche
	PWMFrequency
	ClampVoltage
	ClampStandoff
	ClampCurrent
	ClampEnergy
	ClampPower
	ReleaseTime
	CoilPickup
	CoilOvervoltage
	CoilTemperature
	ContactVoltage
	ContactCurrent
	ContactCarry
	ContactInrush
	ContactMinimum
	ContactRate
	ContactLife
	HoldingCurrent
	Commutation
	Waveform
	SurgeEnergy
	Leakage
	Isolation
	LoadVoltage
	ResistorPower
	ResistorVoltage
	CapacitorVoltage
	FuseCurrent
	FuseStart
	FuseBreaking
	HeatSinkLive
	RailCurrent
	PinTotal
	GroupTotal
	ShootThrough
	numChecks
)

// Sort is how a check counts.
type Sort uint8

// Margin checks make a design's headroom; proofs pass or not; set checks are
// met by a value that the engine chose. All decide the verdict.
const (
	Margin Sort = iota
	Proof
	Set
)

// String returns the sort's word.
func (s Sort) String() string { return [...]string{"margin", "proof", "set"}[s] }

var checkTable = [numChecks]struct {
	name string
	sort Sort
}{
	PinCurrent: {"pin-current", Set}, PinVoltage: {"pin-voltage", Proof}, StaysOff: {"stays-off", Proof},
	BaseDrive: {"base-drive", Set}, Saturation: {"saturation", Proof}, BaseReverse: {"base-reverse", Proof},
	GateDrive: {"gate-drive", Proof}, GateVoltage: {"gate-voltage", Proof},
	BlockingVoltage: {"blocking-voltage", Margin}, OnCurrent: {"on-current", Margin}, PeakCurrent: {"peak-current", Margin},
	JunctionTemperature: {"junction-temperature", Margin}, SafeArea: {"safe-area", Margin}, Avalanche: {"avalanche", Margin},
	PWMFrequency: {"pwm-frequency", Margin}, ClampVoltage: {"clamp-voltage", Set}, ClampStandoff: {"clamp-standoff", Proof},
	ClampCurrent: {"clamp-current", Set}, ClampEnergy: {"clamp-energy", Margin}, ClampPower: {"clamp-power", Margin},
	ReleaseTime: {"release-time", Set}, CoilPickup: {"coil-pickup", Proof}, CoilOvervoltage: {"coil-overvoltage", Margin},
	CoilTemperature: {"coil-temperature", Margin}, ContactVoltage: {"contact-voltage", Proof}, ContactCurrent: {"contact-current", Margin},
	ContactCarry: {"contact-carry", Margin}, ContactInrush: {"contact-inrush", Margin}, ContactMinimum: {"contact-minimum", Proof},
	ContactRate: {"contact-rate", Proof}, ContactLife: {"contact-life", Margin}, HoldingCurrent: {"holding-current", Proof},
	Commutation: {"commutation", Proof}, Waveform: {"waveform", Proof}, SurgeEnergy: {"surge-energy", Margin},
	Leakage: {"leakage", Proof}, Isolation: {"isolation", Proof}, LoadVoltage: {"load-voltage", Set},
	ResistorPower: {"resistor-power", Set}, ResistorVoltage: {"resistor-voltage", Set}, CapacitorVoltage: {"capacitor-voltage", Set},
	FuseCurrent: {"fuse-current", Set}, FuseStart: {"fuse-start", Set}, FuseBreaking: {"fuse-breaking", Set},
	HeatSinkLive: {"heat-sink-live", Proof}, RailCurrent: {"rail-current", Proof}, PinTotal: {"pin-total", Proof},
	GroupTotal: {"group-total", Proof}, ShootThrough: {"shoot-through", Proof},
}

// String returns the check's id as in files.
func (c CheckID) String() string { return checkTable[c].name }

// Sort returns how the check counts.
func (c CheckID) Sort() Sort { return checkTable[c].sort }

// CheckIDs lists every check in order.
func CheckIDs() []CheckID {
	ids := make([]CheckID, numChecks)
	for i := range ids {
		ids[i] = CheckID(i)
	}
	return ids
}

// CheckByName finds a check by its id.
func CheckByName(name string) (CheckID, bool) {
	for i, c := range checkTable {
		if c.name == name {
			return CheckID(i), true
		}
	}
	return 0, false
}
