package season

func (p *planning) explain(s *Season) {}
