package cellar

import (
	"fmt"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/dose"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// ProductID names a product lot as the house writes it on the tub.
type ProductID string

// Class is what kind of product it is; rules speak of classes.
type Class string

// The classes.
const (
	EnzymeClarify Class = "enzyme-clarify"
	EnzymeSkin    Class = "enzyme-skin"
	EnzymeHeat    Class = "enzyme-heat"
	SO2           Class = "SO2"
	Bentonite     Class = "bentonite"
	Protein       Class = "gelatine/protein"
	Silica        Class = "silica"
	Tannin        Class = "tannin"
	Carbon        Class = "carbon"
	Nutrient      Class = "nutrient"
	YeastClass    Class = "yeast"
	Acid          Class = "acid"
	OtherClass    Class = "other"
)

// Classes lists all classes.
func Classes() []Class {
	return []Class{EnzymeClarify, EnzymeSkin, EnzymeHeat, SO2, Bentonite, Protein, Silica, Tannin, Carbon, Nutrient,
		YeastClass, Acid, OtherClass}
}

// contact reports whether a dose of this class starts a contact that ends in a
// clarity check.
func (k Class) contact() bool { return k == EnzymeClarify || k == EnzymeHeat }

// enzyme reports whether SO2 and bentonite would spoil it.
func (k Class) enzyme() bool { return k == EnzymeClarify || k == EnzymeHeat || k == EnzymeSkin }

// said is what a class is called in a sentence.
func (k Class) said() string {
	switch k {
	case EnzymeClarify:
		return "clarifying enzyme"
	case EnzymeSkin:
		return "enzyme for skins"
	case EnzymeHeat:
		return "enzyme for hot must"
	case Protein:
		return "gelatine or protein"
	}
	return string(k)
}

// Suits reports whether a class of product is common in a substance. Others are
// listed later, not left out: what was poured must be possible to write.
func (k Class) Suits(in stage.Substance) bool {
	switch k {
	case EnzymeHeat:
		return in == stage.HotMust
	case EnzymeSkin:
		return in == stage.RedMust || in == stage.WhiteMust
	case EnzymeClarify, Bentonite, Protein, Silica, Carbon:
		return in == stage.Juice || in == stage.PressJuice || in == stage.ClearJuice
	case YeastClass, Nutrient:
		return in == stage.ClearJuice || in == stage.RedMust || in == stage.Yeast
	}
	return in != stage.NoProduct && in != stage.Lees
}

// family is the class under which doses add up: the two enzymes that clear
// juice count as one.
func (k Class) family() Class {
	if k == EnzymeHeat {
		return EnzymeClarify
	}
	return k
}

// Card is what the label of one product lot says. The board stores the card;
// it knows no product.
type Card struct {
	contact.Card
	Low    quantity.Rate `json:"low,omitzero" toml:"low"` // dose range, in the label's unit
	High   quantity.Rate `json:"high,omitzero" toml:"high"`
	Max    quantity.Rate `json:"max,omitzero" toml:"max"` // sum on one juice
	Label  string        `json:"label,omitempty" toml:"label"`
	MakeUp float64       `json:"make_up,omitzero" toml:"make_up"` // litres of water a kilogram (or a litre)
	// Strength is how much of the active substance is in it, which the doses are of.
	Strength dose.Strength `json:"strength,omitzero" toml:"strength"`
	// Of the make-up water and of what is made up; zero when the label is silent.
	WaterTemp quantity.Celsius `json:"water_temp,omitzero" toml:"water_temp"`
	UseWithin quantity.Span    `json:"use_within,omitzero" toml:"use_within"`
}

// check refuses what no label says.
func (c Card) check() error {
	switch {
	case c.MakeUp < 0 || c.MakeUp > 1000:
		return reject("make_up", "make_up", "type the make-up water as 0 to 1000 L/kg, not {make_up}", c.MakeUp)
	case c.WaterTemp < 0 || c.WaterTemp > 60:
		return reject("water", "water_temp", "make-up water is 0 to 60 °C, not {water_temp:%.1f} °C; hotter water "+
			"destroys the product", float64(c.WaterTemp))
	case c.UseWithin < 0 || c.UseWithin > quantity.Span(48*time.Hour):
		return reject("use", "use_within", "type up to 48 hours for use within, not {use_within}", c.UseWithin)
	}
	if err := c.rates(); err != nil {
		return err
	}
	if len(c.Rows) > 0 {
		if err := c.Card.Validate(); err != nil {
			return reject("card", "card", "{why}", err)
		}
	}
	return nil
}

// rates refuses a range that runs backwards, and a sum below one dose.
func (c Card) rates() error {
	for _, r := range []struct {
		field string
		rate  quantity.Rate
	}{{"low", c.Low}, {"high", c.High}, {"max", c.Max}} {
		if r.rate.Value < 0 {
			return reject("rate", r.field, "type a dose above zero, not {rate}", r.rate)
		}
	}
	for _, p := range []struct {
		field, says string
		less, more  quantity.Rate
	}{{"low", "type the lower dose of the range first, not {low} to {high}", c.Low, c.High},
		{"max", "one dose of {high} is more than the {max} that the card allows in all", c.High, c.Max}} {
		if p.less.IsZero() || p.more.IsZero() {
			continue
		}
		same, err := p.more.To(p.less.Unit)
		if err != nil {
			return reject("rate", p.field, "{why}", err)
		}
		if p.less.Value > same.Value*(1+1e-9) {
			return reject("rate", p.field, p.says, p.less, p.more)
		}
	}
	return nil
}

// Product is one product lot with its card and its stock.
type Product struct {
	ID      ProductID         `json:"product" toml:"product"`
	Name    string            `json:"name" toml:"name"`
	Class   Class             `json:"class" toml:"class"`
	Liquid  bool              `json:"liquid,omitempty" toml:"liquid"`
	Unit    quantity.RateUnit `json:"unit,omitempty" toml:"unit"` // of the label
	Card    Card              `json:"card,omitzero" toml:"card"`
	Expires time.Time         `json:"expires,omitzero" toml:"-"`
	Expiry  string            `json:"expiry,omitempty" toml:"expiry"` // "2026-12" or "2026-12-31"
	Open    quantity.Amount   `json:"open,omitzero" toml:"open"`      // left in the open container
	Sealed  int               `json:"sealed,omitempty" toml:"sealed"` // sealed containers
	Size    quantity.Amount   `json:"size,omitzero" toml:"size"`      // of a sealed container

	End *LotEnd `json:"-" toml:"-"` // nil while the house has it
}

// Words are what a lot is, to stand beside its number; "" where the number says so.
func (p *Product) Words() string {
	if strings.EqualFold(strings.TrimSpace(p.Name), string(p.ID)) {
		return ""
	}
	return p.Name
}

// Left is all there is, open and sealed.
func (p *Product) Left() quantity.Amount {
	n := p.Sealed
	return p.Open.Add(quantity.Amount{Mass: p.Size.Mass * quantity.Mass(n), Volume: p.Size.Volume * quantity.Volume(n)})
}

// OneMore reports whether the open container holds one more dose like the last,
// given what the last drew.
func (p *Product) OneMore(drawn quantity.Amount) bool { return !p.Open.Sub(drawn).Negative() }

// runsOut warns one dose ahead, for the outcome of a dose; "" while there is
// enough.
func (s *State) runsOut(id ProductID, drawn quantity.Amount) string {
	p := s.products[id]
	if p == nil || drawn.IsZero() || p.OneMore(drawn) {
		return ""
	}
	return fmt.Sprintf("; %s left in the open container of %s, less than one more dose, %s",
		p.Open.Stock(s.House.Units), id, p.SealedText())
}

// SealedText says how many sealed containers there are.
func (p *Product) SealedText() string {
	if p.Sealed == 0 {
		return "none sealed"
	}
	return fmt.Sprintf("%d sealed", p.Sealed)
}

// Middle is the middle of the card's dose range, or zero.
func (p *Product) Middle() quantity.Rate {
	if p.Card.Low.IsZero() || p.Card.High.IsZero() {
		return quantity.Rate{}
	}
	return quantity.Rate{Value: (p.Card.Low.Value + p.Card.High.Value) / 2, Unit: p.Card.Low.Unit}
}

// HasClock reports whether a dose of it starts a contact clock.
func (p *Product) HasClock() bool { return p.Class.contact() && len(p.Card.Rows) > 0 }

// SetProduct books in a product lot with its card, or replaces what is known.
type SetProduct struct {
	Head
	Product
}

func (c *SetProduct) decide(d *decision) ([]Fact, error) {
	p := c.Product
	if p.ID == "" {
		return nil, reject("product", "product", "give the lot a name, as it stands on the tub")
	}
	if !knownClass(p.Class) {
		return nil, reject("class", "class", "{class:%q} is not a class of product; choose from {classes}", p.Class,
			listed(Classes()))
	}
	if p.Sealed < 0 || p.Sealed > maxSealed {
		return nil, reject("sealed", "sealed", "a lot has 0 to {max_sealed} sealed containers, not {sealed}", maxSealed,
			p.Sealed)
	}
	if !p.Unit.Known() {
		return nil, reject("unit", "unit", "{unit:%q} is not a dose unit; type one such as g/hL, mL/hL, mg/L, "+
			"lb/1000 gal or g/100 kg", p.Unit)
	}
	if err := p.Card.check(); err != nil {
		return nil, err
	}
	var err error
	if p.Liquid, p.Card.Strength, err = c.strengthOf(d); err != nil {
		return nil, err
	}
	if p.Open.Negative() || p.Size.Negative() {
		return nil, reject("open", "open", "type zero or more for {product}", p.ID)
	}
	was, known := d.s.products[p.ID]
	if err := p.expires(was, d.s.Zone()); err != nil {
		return nil, err
	}
	if known {
		return []Fact{&CardSet{Product: p}}, nil
	}
	return []Fact{&ProductBooked{Product: p}}, nil
}

// maxSealed bounds the containers of one lot: more is a slip of the pen.
const maxSealed = 10000

func knownClass(k Class) bool {
	for _, x := range Classes() {
		if x == k {
			return true
		}
	}
	return false
}

// NoExpiry takes the expiry off a card: one that is left out stays what it was.
const NoExpiry = "none"

// expires reads the expiry of a card. A card that is saved again without one keeps it.
func (p *Product) expires(was *Product, zone *time.Location) error {
	switch {
	case p.Expiry == "" && was != nil:
		p.Expiry, p.Expires = was.Expiry, was.Expires
		return nil
	case p.Expiry == "" || strings.EqualFold(p.Expiry, NoExpiry):
		p.Expiry, p.Expires = "", time.Time{}
		return nil
	}
	t, err := expiry(p.Expiry, zone)
	p.Expires = Instant(t)
	return err
}

// expiry reads "2026-12" (the end of that month) or a day (the end of it).
func expiry(s string, zone *time.Location) (time.Time, error) {
	if t, err := time.ParseInLocation("2006-01", s, zone); err == nil {
		return t.AddDate(0, 1, 0), nil
	}
	if t, err := time.ParseInLocation("2006-01-02", s, zone); err == nil {
		return t.AddDate(0, 0, 1), nil
	}
	return time.Time{}, reject("expiry", "expiry", "type the expiry as 2026-12 or 2026-12-31, or none, not {what:%q}",
		s)
}

// ProductBooked is a product lot that the house has from now on.
type ProductBooked struct{ Product }

func (f *ProductBooked) apply(s *State, r Record) {
	p := f.Product
	s.products[p.ID] = &p
	s.productOrder = append(s.productOrder, p.ID)
	s.enter(r, f)
	s.log(r, productRef(p.ID), "{product} booked in, {left}", p.Words(), inWords(s, p.Left()))
}

// lines puts a lot into the book with its stock, before all that is said of it: late
// entries know of times before it was booked in.
func (f *ProductBooked) lines(s *State, e *entry) []*line {
	return []*line{e.line(time.Time{}, 0, func([]*holding) []*holding {
		return []*holding{{stock: &stock{open: f.Open, sealed: f.Sealed, size: f.Size}}}
	}, tubOf(f.ID))}
}

// CardSet replaces the card and the particulars of a product lot; the stock
// stays what it was.
type CardSet struct{ Product }

func (f *CardSet) apply(s *State, r Record) {
	was := s.products[f.ID]
	p := f.Product
	p.Open, p.Sealed, p.Size, p.End = was.Open, was.Sealed, was.Size, was.End
	s.products[p.ID] = &p
	s.foldedAgain(r)
	s.log(r, productRef(p.ID), "card entered: {label}", p.Card.Label)
}

// OpenTub opens a sealed container, or counts what an open one holds.
type OpenTub struct {
	Head
	Product ProductID        `json:"product"`
	Count   *quantity.Amount `json:"count,omitempty"` // what the open one was counted to hold
}

func (c *OpenTub) decide(d *decision) ([]Fact, error) {
	p, err := d.product(c.Product)
	if err != nil {
		return nil, err
	}
	if c.Count != nil {
		if !c.Count.IsZero() && c.Count.Liquid() != p.Poured() {
			return nil, reject("count", "count", "count {product} in {amount_units}", p.ID, amountUnits(p.Poured()))
		}
		return []Fact{&StockCounted{Product: p.ID, Was: p.Open, Open: *c.Count}}, nil
	}
	if p.Sealed == 0 {
		return nil, reject("sealed", "product", "there is no sealed container of {product} left", p.ID)
	}
	return []Fact{&TubOpened{Product: p.ID}}, nil
}

// TubOpened is one sealed container opened.
type TubOpened struct {
	Product ProductID `json:"product"`
}

func (f *TubOpened) apply(s *State, r Record) {
	p := s.products[f.Product]
	if p == nil {
		return
	}
	s.enter(r, f)
	s.log(r, productRef(p.ID), "container opened, {open} open, {sealed} sealed", inWords(s, p.Open), p.Sealed)
}

func (f *TubOpened) lines(s *State, e *entry) []*line {
	return s.tub(e, f.Product, func(x *stock) {
		x.sealed, x.open, x.ended = x.sealed-1, x.open.Add(x.size), nil
	})
}

// StockCounted is what an open container was found to hold.
type StockCounted struct {
	Product ProductID       `json:"product"`
	Was     quantity.Amount `json:"was"`
	Open    quantity.Amount `json:"open"`
}

func (f *StockCounted) apply(s *State, r Record) {
	s.enter(r, f)
	s.log(r, productRef(f.Product), "counted: {open} in the open container (the book said {was})", inWords(s, f.Open),
		inWords(s, f.Was))
}

func (f *StockCounted) lines(s *State, e *entry) []*line {
	return s.tub(e, f.Product, func(x *stock) {
		x.open, x.ended = f.Open, nil
		if f.Open.IsZero() && x.sealed == 0 {
			x.ended = &LotEnd{At: e.At, By: e.By, Why: lotUsedUp.Say()}
		}
	})
}

func (d *decision) product(id ProductID) (*Product, error) {
	p := d.s.products[id]
	if p == nil {
		return nil, reject("product", "product", "there is no product lot {id:%q}; book it in first (u)", id)
	}
	return p, nil
}

// Product finds a product lot.
func (s *State) Product(id ProductID) (*Product, bool) {
	p := s.products[id]
	return p, p != nil
}

// Products lists the product lots in the order they were booked in.
func (s *State) Products() []*Product {
	out := make([]*Product, len(s.productOrder))
	for i, id := range s.productOrder {
		out[i] = s.products[id]
	}
	return out
}

var (
	_ = command[SetProduct]("product")
	_ = command[OpenTub]("tub")
	_ = fact[ProductBooked]("product-booked")
	_ = fact[CardSet]("card-set")
	_ = fact[TubOpened]("tub-opened")
	_ = fact[StockCounted]("stock-counted")
)
