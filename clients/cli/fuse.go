package cli

import (
	"context"
	"os"
	"path/filepath"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// fuseFlagOf names the flag behind each field of a DescribeFuseRequest.
var fuseFlagOf = map[string]string{
	"family": "--family", "rating_a": "--rating", "sku": "--sku", "at_a": "--at", "ambient_c": "--ambient",
	"conductor": "--conductor", "beside": "--beside", "picture": "--picture",
}

// fuseFlags is what "lugbook fuse" was given.
type fuseFlags struct {
	family          wordFlag
	rating, ambient quantityFlag
	sku, conductor  string
	at, beside      []string
	picture         string
}

// fuseCommand makes "lugbook fuse".
func fuseCommand(s *session) *cobra.Command {
	f := &fuseFlags{
		family:  wordFlag{enum: lugbookv1.FuseFamily(0).Descriptor()},
		rating:  quantityFlag{dimension: quantity.Current, bare: true},
		ambient: quantityFlag{dimension: quantity.Temperature},
	}
	cmd := &cobra.Command{
		Use:   "fuse",
		Short: "Say what a fuse does at some currents",
		Long: "Fuse says whether a fuse stays closed at a current, or between which times it opens. With\n" +
			"--conductor it also says how long that cable bears the current, and with --picture it\n" +
			"draws the curves into a file that ends in .svg or .png.",
		Example: "  lugbook fuse --family anl --rating 100 --at 101A,125A,200A\n" +
			"  lugbook fuse --family blade --rating 20 --at 21A,27A,40A --conductor 14\n" +
			"  lugbook fuse --family anl --rating 100 --beside \"maxi 60A\" --picture curves.svg",
		Args: none,
		RunE: s.run(func(cmd *cobra.Command, _ []string) error { return fuse(cmd.Context(), s, f) }),
	}
	flags := cmd.Flags()
	addWord(cmd, &f.family, "family", "family of the fuse")
	flags.Var(&f.rating, "rating", "rating of the fuse, such as 100A")
	flags.StringVar(&f.sku, "sku", "", "part number of a fuse of the catalog, in place of family and rating")
	flags.StringSliceVar(&f.at, "at", nil, "currents to describe it at, such as 101A,125A,200A")
	flags.Var(&f.ambient, "ambient", "temperature at the holder with its unit, such as 65C or 150F")
	flags.StringVar(&f.conductor, "conductor", "", "copper cable behind it, such as 4, 1/0 or 16mm2")
	flags.StringArrayVar(&f.beside, "beside", nil, "a further fuse to draw, such as \"maxi 60A\"; may be repeated")
	flags.StringVar(&f.picture, "picture", "", "file to draw the curves into: .svg or .png")
	return cmd
}

// fuse describes a fuse.
func fuse(ctx context.Context, s *session, f *fuseFlags) error {
	request, err := f.request()
	if err != nil {
		return err
	}
	request.Language, request.UnitSystem = s.language, s.units
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewDesignServiceClient(conn).DescribeFuse(ctx, request)
	if err != nil {
		return s.callFault(err, placeInFlags(fuseFlagOf))
	}
	if f.picture != "" {
		if err := writeWhole(f.picture, reply.GetPicture().GetData()); err != nil {
			return fileFault(f.picture, err)
		}
	}
	return s.show(reply, func(p *page.Page) { fusePage(p, reply, f.picture, s.units) })
}

// request makes the request that the flags mean.
func (f *fuseFlags) request() (*lugbookv1.DescribeFuseRequest, error) {
	const hint = `"lugbook fuse --help" explains the flags`
	r := &lugbookv1.DescribeFuseRequest{Family: lugbookv1.FuseFamily(f.family.number), RatingA: f.rating.number(), Sku: f.sku, AmbientC: f.ambient.value}
	if f.sku == "" && (f.family.number == 0 || !f.rating.set()) {
		return nil, misuse(hint, "not given: which fuse (--family anl --rating 100A, or --sku with its part number)")
	}
	for _, text := range f.at {
		amps, err := quantity.ParseBare(quantity.Current, strings.TrimSpace(text))
		if err != nil {
			return nil, misuse(hint, "--at: %w", err)
		}
		r.AtA = append(r.AtA, amps)
	}
	if f.conductor != "" {
		size, err := quantity.ParseSize(f.conductor)
		if err != nil {
			return nil, misuse(hint, "--conductor: %w", err)
		}
		r.Conductor = newConductor(size, lugbookv1.Material_MATERIAL_COPPER)
	}
	for _, text := range f.beside {
		one, err := fuseToDraw(text)
		if err != nil {
			return nil, misuse(hint, "--beside: %w", err)
		}
		r.Beside = append(r.Beside, one)
	}
	switch strings.ToLower(filepath.Ext(f.picture)) {
	case ".svg":
		r.Picture = lugbookv1.PictureFormat_PICTURE_FORMAT_SVG
	case ".png":
		r.Picture = lugbookv1.PictureFormat_PICTURE_FORMAT_PNG
	default:
		if f.picture != "" {
			return nil, misuse(hint, "--picture: %q ends in neither .svg nor .png", f.picture)
		}
		if len(f.beside) > 0 {
			return nil, misuse(hint, "--beside wants --picture: it is drawn, not described")
		}
	}
	return r, nil
}

// fuseToDraw reads a family and a rating: "maxi 60A".
func fuseToDraw(text string) (*lugbookv1.FuseToDraw, error) {
	name, rating, _ := strings.Cut(strings.TrimSpace(text), " ")
	family := wordFlag{enum: lugbookv1.FuseFamily(0).Descriptor()}
	if err := family.Set(name); err != nil {
		return nil, err
	}
	amps, err := quantity.ParseBare(quantity.Current, strings.TrimSpace(rating))
	if err != nil {
		return nil, err
	}
	return &lugbookv1.FuseToDraw{Family: lugbookv1.FuseFamily(family.number), RatingA: amps}, nil
}

// writeWhole writes a file so that it is there in whole or not at all.
func writeWhole(name string, data []byte) error {
	file, err := os.CreateTemp(filepath.Dir(name), ".lugbook-*")
	if err != nil {
		return err
	}
	defer func() { _ = os.Remove(file.Name()) }() // gone where it was renamed
	if _, err := file.Write(data); err != nil {
		_ = file.Close()
		return err
	}
	if err := file.Chmod(0o644); err != nil {
		_ = file.Close()
		return err
	}
	if err := file.Close(); err != nil {
		return err
	}
	return os.Rename(file.Name(), name)
}

// fusePage lays out what a fuse does.
func fusePage(p *page.Page, r *lugbookv1.DescribeFuseResponse, picture string, units lugbookv1.UnitSystem) {
	var texts []string
	for _, point := range r.GetPoints() {
		texts = append(texts, point.GetText())
	}
	bullets(p, "What it does", texts)
	bullets(p, "Worth knowing", r.GetRemarks())
	figureTable(p, r.GetFigures(), units)
	if picture != "" {
		p.Blank()
		p.Text(0, "The curves are drawn in "+picture+".")
	}
	cautions(p, r.GetSafetyNotes())
}
