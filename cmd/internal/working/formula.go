package working

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"bottlecrop/cmd/internal/unit"
)

// node is one part of a parsed formula.
type node interface {
	eval(lookup func(string) (float64, bool)) (float64, error)
}

type (
	number float64
	symbol string
	negate struct{ x node }
	binary struct {
		op   byte
		a, b node
	}
	call struct {
		name string
		f    Function
		args []node
	}
)

func (n number) eval(func(string) (float64, bool)) (float64, error) { return float64(n), nil }

func (s symbol) eval(lookup func(string) (float64, bool)) (float64, error) {
	v, ok := lookup(string(s))
	if !ok {
		return 0, fmt.Errorf("no value for %s", string(s))
	}
	return v, nil
}

func (n negate) eval(lookup func(string) (float64, bool)) (float64, error) {
	v, err := n.x.eval(lookup)
	return -v, err
}

func (n binary) eval(lookup func(string) (float64, bool)) (float64, error) {
	a, err := n.a.eval(lookup)
	if err != nil {
		return 0, err
	}
	b, err := n.b.eval(lookup)
	if err != nil {
		return 0, err
	}
	// float64(...) keeps the product from being fused with a later sum on
	// processors that can: the same bits everywhere.
	switch n.op {
	case '+':
		return a + b, nil
	case '-':
		return a - b, nil
	case '*':
		return float64(a * b), nil
	case '/':
		if b == 0 {
			return 0, fmt.Errorf("division by zero")
		}
		return a / b, nil
	}
	return math.Pow(a, b), nil
}

func (n call) eval(lookup func(string) (float64, bool)) (float64, error) {
	args := make([]float64, len(n.args))
	for i, a := range n.args {
		v, err := a.eval(lookup)
		if err != nil {
			return 0, err
		}
		args[i] = v
	}
	v, err := n.f(args...)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", n.name, err)
	}
	return v, nil
}

// arity of the built-in functions; −1 is one or more.
var builtins = map[string]struct {
	arity int
	f     Function
}{
	"ceil":  {1, func(a ...float64) (float64, error) { return unit.Up(a[0]), nil }},
	"floor": {1, func(a ...float64) (float64, error) { return unit.Down(a[0]), nil }},
	"round": {2, func(a ...float64) (float64, error) {
		if a[1] <= 0 {
			return 0, fmt.Errorf("step %v is not above zero", a[1])
		}
		return unit.Nearest(a[0]/a[1]) * a[1], nil
	}},
	"min":  {-1, func(a ...float64) (float64, error) { return slices.Min(a), nil }},
	"max":  {-1, func(a ...float64) (float64, error) { return slices.Max(a), nil }},
	"abs":  {1, func(a ...float64) (float64, error) { return math.Abs(a[0]), nil }},
	"sqrt": {1, func(a ...float64) (float64, error) { return math.Sqrt(a[0]), nil }},
	"exp":  {1, func(a ...float64) (float64, error) { return math.Exp(a[0]), nil }},
	"ln":   {1, func(a ...float64) (float64, error) { return math.Log(a[0]), nil }},
}

// parser reads a formula: sums of products of powers of atoms. An atom is a
// number, a symbol, pi, a call, or a formula in parentheses.
type parser struct {
	text      string
	pos       int
	functions map[string]Function
}

func parse(text string, functions map[string]Function) (node, error) {
	p := &parser{text: text, functions: functions}
	n, err := p.sum()
	if err != nil {
		return nil, err
	}
	// Not peek() != 0: a zero byte is no end, and what follows it would be lost.
	if p.peek(); p.pos < len(p.text) {
		return nil, fmt.Errorf("unexpected %q at %d", p.text[p.pos:], p.pos+1)
	}
	return n, nil
}

func (p *parser) peek() byte {
	for p.pos < len(p.text) && p.text[p.pos] == ' ' {
		p.pos++
	}
	if p.pos == len(p.text) {
		return 0
	}
	return p.text[p.pos]
}

func (p *parser) chain(ops string, operand func() (node, error)) (node, error) {
	n, err := operand()
	for err == nil && p.peek() != 0 && strings.IndexByte(ops, p.peek()) >= 0 {
		op := p.text[p.pos]
		p.pos++
		var right node
		right, err = operand()
		n = binary{op, n, right}
	}
	return n, err
}

func (p *parser) sum() (node, error)     { return p.chain("+-", p.product) }
func (p *parser) product() (node, error) { return p.chain("*/", p.power) }

func (p *parser) power() (node, error) {
	if p.peek() == '-' {
		p.pos++
		n, err := p.power()
		return negate{n}, err
	}
	n, err := p.atom()
	if err == nil && p.peek() == '^' {
		p.pos++
		var right node
		right, err = p.power()
		n = binary{'^', n, right}
	}
	return n, err
}

func (p *parser) atom() (node, error) {
	c := p.peek()
	switch {
	case c == '(':
		p.pos++
		n, err := p.sum()
		if err != nil {
			return nil, err
		}
		return n, p.expect(')')
	case c >= '0' && c <= '9':
		return p.number()
	}
	name := p.name()
	switch {
	case name == "":
		return nil, fmt.Errorf("expected a value at %d", p.pos+1)
	case p.peek() == '(':
		return p.call(name)
	case name == "pi":
		return number(math.Pi), nil
	}
	return symbol(name), nil
}

func (p *parser) expect(c byte) error {
	if p.peek() != c {
		return fmt.Errorf("expected %q at %d", c, p.pos+1)
	}
	p.pos++
	return nil
}

func (p *parser) number() (node, error) {
	start := p.pos
	for p.pos < len(p.text) && strings.IndexByte("0123456789.", p.text[p.pos]) >= 0 {
		p.pos++
	}
	v, err := strconv.ParseFloat(p.text[start:p.pos], 64)
	return number(v), err
}

func (p *parser) name() string {
	start := p.pos
	for i, r := range p.text[start:] {
		if !unicode.IsLetter(r) && r != '_' && (i == 0 || !unicode.IsDigit(r)) {
			p.pos = start + i
			return p.text[start:p.pos]
		}
	}
	p.pos = len(p.text)
	return p.text[start:]
}

func (p *parser) call(name string) (node, error) {
	p.pos++
	c := call{name: name}
	for {
		a, err := p.sum()
		if err != nil {
			return nil, err
		}
		c.args = append(c.args, a)
		if p.peek() != ',' {
			break
		}
		p.pos++
	}
	if b, ok := builtins[name]; ok {
		if b.arity >= 0 && b.arity != len(c.args) {
			return nil, fmt.Errorf("%s takes %d values, %d were given", name, b.arity, len(c.args))
		}
		c.f = b.f
	} else if f, ok := p.functions[name]; ok {
		c.f = f
	} else {
		return nil, fmt.Errorf("no function %s", name)
	}
	return c, p.expect(')')
}

// symbolsOf lists the symbols of a formula in order of first appearance.
func symbolsOf(n node, found []string) []string {
	switch n := n.(type) {
	case symbol:
		if !slices.Contains(found, string(n)) {
			found = append(found, string(n))
		}
	case negate:
		found = symbolsOf(n.x, found)
	case binary:
		found = symbolsOf(n.b, symbolsOf(n.a, found))
	case call:
		for _, a := range n.args {
			found = symbolsOf(a, found)
		}
	}
	return found
}

// Sums and sums of products come in as many lengths as formulas have
// ingredients; each length is parsed once.
var lengths sync.Map

func lawOfLength(kind string, n int, term func(int) string) *Law {
	type key struct {
		kind string
		n    int
	}
	if l, ok := lengths.Load(key{kind, n}); ok {
		return l.(*Law)
	}
	terms := make([]string, n)
	for i := range terms {
		terms[i] = term(i + 1)
	}
	text := strings.Join(terms, " + ")
	if n == 0 {
		text = "0"
	}
	l, _ := lengths.LoadOrStore(key{kind, n}, NewLaw(text, "definition", nil))
	return l.(*Law)
}

func sumLaw(n int) *Law {
	return lawOfLength("sum", n, func(i int) string { return fmt.Sprintf("t%d", i) })
}

func dotLaw(n int) *Law {
	return lawOfLength("dot", n, func(i int) string { return fmt.Sprintf("a%d * b%d", i, i) })
}
