package jobfile_test

import (
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/jobfile"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/reflect/protoreflect"
)

func TestWordsOfEveryEnumAreReadBack(t *testing.T) {
	t.Parallel()
	for _, file := range []protoreflect.FileDescriptor{
		lugbookv1.File_lugbook_v1_quantity_proto, lugbookv1.File_lugbook_v1_vehicle_proto,
		lugbookv1.File_lugbook_v1_system_proto, lugbookv1.File_lugbook_v1_design_proto,
		lugbookv1.File_lugbook_v1_catalog_proto, lugbookv1.File_lugbook_v1_wording_proto,
	} {
		for i := range file.Enums().Len() {
			enum := file.Enums().Get(i)
			words := jobfile.Words(enum)
			require.Len(t, words, enum.Values().Len()-1, enum.FullName())
			for j := range enum.Values().Len() {
				value := enum.Values().Get(j)
				if value.Number() == 0 {
					continue
				}
				for _, text := range []string{jobfile.Word(enum, value.Number()), string(value.Name())} {
					got, err := jobfile.ParseWord(enum, text)
					require.NoError(t, err, text)
					assert.Equal(t, value.Number(), got, text)
				}
			}
		}
	}
}

func TestWord(t *testing.T) {
	t.Parallel()
	kinds := lugbookv1.DeviceKind(0).Descriptor()
	assert.Equal(t, "usb_charger", jobfile.Word(kinds, lugbookv1.DeviceKind_DEVICE_KIND_USB_CHARGER.Number()))
	assert.Empty(t, jobfile.Word(kinds, 0))
	assert.Empty(t, jobfile.Word(kinds, 999))
}

func TestParseWordError(t *testing.T) {
	t.Parallel()
	_, err := jobfile.ParseWord(lugbookv1.ReturnPath(0).Descriptor(), "chasis")
	require.EqualError(t, err, `unknown word "chasis" (did you mean "chassis"?); allowed: conductor, chassis`)
	_, err = jobfile.ParseWord(lugbookv1.ReturnPath(0).Descriptor(), "")
	require.EqualError(t, err, `unknown word ""; allowed: conductor, chassis`)
}

// A key without its unit must name one field only, whatever is added to the
// contract.
func TestKeysWithoutUnitAreUnambiguous(t *testing.T) {
	t.Parallel()
	seen := map[protoreflect.FullName]bool{}
	var walk func(md protoreflect.MessageDescriptor)
	walk = func(md protoreflect.MessageDescriptor) {
		if seen[md.FullName()] {
			return
		}
		seen[md.FullName()] = true
		stems := map[string]protoreflect.Name{}
		for i := range md.Fields().Len() {
			fd := md.Fields().Get(i)
			if stem, ok := jobfile.Stem(fd); ok {
				assert.Empty(t, stems[stem], "%s: %s and %s share a name", md.FullName(), stems[stem], fd.Name())
				stems[stem] = fd.Name()
			}
			if fd.Message() != nil {
				walk(fd.Message())
			}
		}
	}
	walk((&lugbookv1.Job{}).ProtoReflect().Descriptor())
	assert.Greater(t, len(seen), 10)
}
