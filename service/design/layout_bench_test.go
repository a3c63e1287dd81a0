package design_test

import (
	"fmt"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// manyDevices is a job of so many small devices all over a vehicle's zones.
func manyDevices(zones []string, n int) design.System {
	kinds := []electrical.DeviceKind{electrical.Light, electrical.Pump, electrical.USBCharger, electrical.Radio, electrical.Fan, electrical.Heater}
	var s design.System
	for i := range n {
		s.Devices = append(s.Devices, design.Device{ID: fmt.Sprintf("d%d", i), Kind: kinds[i%len(kinds)], Zone: zones[i%len(zones)],
			Load: electrical.Load{Current: quantity.Amps(1 + i%13)}})
	}
	return s
}

// BenchmarkDevices times whole systems of 10, 50, 200 and 1000 devices in one run.
// At 200 devices a design is to take at most 25 times as long as at 10.
func BenchmarkDevices(b *testing.B) {
	cat := demoShop(b)
	designer := design.New(cat)
	v, ok := cat.Vehicle("camper-van")
	if !ok {
		b.Fatal("no camper van")
	}
	var zones []string
	for _, z := range v.Zones {
		zones = append(zones, z.ID)
	}
	perJob := map[int]time.Duration{}
	for _, n := range []int{10, 50, 200, 1000} {
		s := manyDevices(zones, n)
		b.Run(fmt.Sprintf("%d", n), func(b *testing.B) {
			for b.Loop() {
				if _, err := designer.Design(&v, s); err != nil {
					b.Fatal(err)
				}
			}
			perJob[n] = b.Elapsed() / time.Duration(b.N)
			if ten := perJob[10]; ten > 0 {
				b.ReportMetric(float64(perJob[n])/float64(ten), "×10-devices")
			}
		})
	}
}
