package route

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"loopwright/route/circuit"
	"loopwright/route/wire"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

func testCable(t testing.TB) Cable {
	t.Helper()
	c, err := wire.ParseConductor("16 AWG solid")
	if err != nil {
		t.Fatal(err)
	}
	return Cable{Name: "16/2", Conductor: c, Temperature: 75}
}

// rowOf places n devices of a type along y = 0, 10 m apart, the panel at 0.
func rowOf(n int, typ string) (Building, []takeoff.Device) {
	b := testBuilding(Panel{Name: "FACP", Level: "1"})
	b.Types = append(b.Types,
		takeoff.DeviceType{Type: "smoke", Addresses: 1},
		takeoff.DeviceType{Type: "horn", Alarm: takeoff.Amps{A: 0.1, Known: true}},
		takeoff.DeviceType{Type: "holder", Standby: takeoff.Amps{A: 0.1, Known: true}, Alarm: takeoff.Amps{Known: true}},
		takeoff.DeviceType{Type: "siren", Alarm: takeoff.Amps{A: 3, Known: true}})
	var ds []takeoff.Device
	for i := range n {
		ds = append(ds, takeoff.Device{ID: fmt.Sprintf("d%d", i+1), Type: typ, Level: "1", Pos: geom.Pt(float64(10*(i+1)), 0)})
	}
	return b, ds
}

func TestSplit(t *testing.T) {
	slc := Spec{Name: "SLC", Kind: takeoff.SLC, Panel: "FACP", Pathway: circuit.ClassA, Auto: true, Capacity: 10, Cable: testCable(t)}
	nac := Spec{Name: "NAC", Kind: takeoff.NAC, Panel: "FACP", Pathway: circuit.ClassB, Auto: true, MaxCurrent: 1, SpareShare: .2, Cable: testCable(t)}
	fixed := slc
	fixed.Auto = false
	second := fixed
	second.Name = "SLC-B"
	long := slc
	long.MaxResistance = 50
	weak := nac
	weak.StartVolts, weak.EndVolts = 20.4, 19.4
	power, weakPower := nac, weak
	power.Kind, weakPower.Kind = takeoff.Power, takeoff.Power
	tests := []struct {
		name  string
		specs []Spec
		n     int
		typ   string
		want  string // circuit:devices
		says  string
	}{
		{"all fit on one", []Spec{slc}, 10, "smoke", "SLC-1:10", ""},
		{"25 addresses, 10 each: three", []Spec{slc}, 25, "smoke", "3 circuits of at most 10", ""},
		{"spare is kept free: 8 x 0.1 A on 1 A less 20 %", []Spec{nac}, 16, "horn", "2 circuits of at most 8", ""},
		{"a standby load is a load", []Spec{power}, 16, "holder", "2 circuits of at most 8", ""},
		{"a standby load lowers the voltage", []Spec{weakPower}, 8, "holder", "2 circuits of at most 7", "to keep the voltage at every device"},
		{"two rows share", []Spec{fixed, second}, 20, "smoke", "2 circuits of at most 10", ""},
		{"two rows are not enough", []Spec{fixed, second}, 25, "smoke", "2 circuits of at most 20", "2 circuits of kind slc serve these levels and 3 are needed"},
		// 16 AWG, 4.89 ohm/kft: a load of n x 0.1 A at 10 m steps loses
		// 2 x 10 m x 0.01604 ohm/m x 0.1 A x n(n+1)/2; eight lose 1.16 V, seven 0.90 V.
		{"voltage makes them smaller than current asks for", []Spec{weak}, 8, "horn", "2 circuits of at most 7", "to keep the voltage at every device"},
		{"one device over the capacity", []Spec{nac}, 1, "siren", "NAC-1:1", "d1 (siren) needs 3 by itself, over the 0.8 that the circuit has"},
		{"one row, not to be split", []Spec{fixed}, 25, "smoke", "SLC:25", ""},
		{"nothing serves", nil, 1, "smoke", "", "no circuit takes these 1 devices"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			b, ds := rowOf(tt.n, tt.typ)
			opt := Usual
			parts, fs, err := Split(b, tt.specs, ds, opt)
			said := ""
			if err != nil {
				said = err.Error()
			}
			for _, f := range fs {
				said += f.Message
			}
			if (tt.says == "") != (said == "") || !strings.Contains(said, tt.says) {
				t.Errorf("said %q, want %q", said, tt.says)
			}
			if got := describe(parts, tt.want); got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
			var ids []string
			for _, p := range parts {
				for _, d := range p.Devices {
					ids = append(ids, d.ID)
				}
			}
			slices.Sort(ids)
			if len(slices.Compact(ids)) != tt.n && tt.specs != nil {
				t.Errorf("%d devices are on circuits, want %d, each once", len(ids), tt.n)
			}
		})
	}
}

// describe writes parts in the form that want has: each by name, or their number
// and the size of the largest.
func describe(parts []Part, want string) string {
	most := 0
	var each []string
	for _, p := range parts {
		most = max(most, len(p.Devices))
		each = append(each, fmt.Sprintf("%s:%d", p.Name, len(p.Devices)))
	}
	if strings.Contains(want, "at most") {
		limit := 0
		_, after, _ := strings.Cut(want, "at most")
		fmt.Sscan(after, &limit)
		return fmt.Sprintf("%d circuits of at most %d", len(parts), max(most, limit))
	}
	return strings.Join(each, " ")
}
