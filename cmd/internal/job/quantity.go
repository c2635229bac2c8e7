package job

import "loopwright/takeoff/measure"

// The quantities of the tables.
var (
	length       = measure.Length
	small        = measure.Small
	resistance   = measure.Resistance
	current      = measure.Current
	voltage      = measure.Voltage
	temperature  = measure.Temperature
	percent      = measure.Percent
	charge       = measure.Charge
	farads       = measure.Capacitance
	perLength    = measure.PricePerLength
	hoursLength  = measure.HoursPerLength
	faradsLength = measure.CapacitancePerLength
)
