package firstbass

import "undersong/internal/test/sounding"

var moreScenes = []played{
	{what: "a fifth below the tune is a bass", tune: sounding.Lou, hits: "Bb3 0.6-1", want: []string{
		"1/2 not-a-root Bb3>C4 fits:C @380",
		"2/1 missing>C3 fits:C @4330",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "a primary chord's root, if it is no slip", tune: sounding.Lou, hits: "C4 4.6-5", want: []string{
		"1/1 missing>C3 fits:C @2330",
		"2/2 right C4 tune:G4 @2380",
		"3/1 missing>G2 fits:G @6330",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "the fifth of a bass that is held", tune: both, voicing: WithFifth, hits: "C3 0-8.3; G3 0-3.8; G3 4-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the same, let go just before the bar line", tune: both, voicing: WithFifth, hits: "C3 0-7.8; G3 0-3.8; G3 4-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the same, let go a little earlier", tune: both, voicing: WithFifth, hits: "C3 0-7.6; G3 0-3.8; G3 4-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 no-fifth G3>D4 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the same in the last bar, let go at its end", tune: two, voicing: WithFifth, hits: "C3 0-7.9; G3 0-3.8; G3 4-7.8", want: []string{
		"1/1 right C3 tune:E4 @80",
	}},
	{what: "the same in the last bar, let go a little earlier", tune: two, voicing: WithFifth, hits: "C3 0-7.6; G3 0-3.8; G3 4-7.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 no-fifth G3>D4 @4330",
	}},
	{what: "the same, and more is wanted", tune: both, voicing: WithTriad, hits: "C3 0-8.3; E3 G3 0-3.8; G3 4-7.8; G2 B2 D3 8-11.8; C3 E3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 no-fifth G3>D4 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "another bass in the middle of the beat", tune: both, voicing: WithFifth, hits: "C3 G3 0-3.8; C3 4-4.4; G2 D3 4.4-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 right C3 tune:G4 @2280",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "another bass a beat later", tune: both, voicing: WithFifth, hits: "C3 G3 0-3.8; C3 4-4.8; G2 D3 5-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 no-fifth C3>G3 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the same bass a beat later, with its fifth", tune: both, voicing: WithFifth, hits: "C3 0-0.8; C3 G3 1-3.8; C3 G3 4-4.8; C3 5-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @580",
		"2/1 right C3 tune:G4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "three notes at most say why", tune: many, hits: "C3 0-3.8; C3 4-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:C4 @80",
		"2/1 misfit C3>G2 fits:G tune:D5 tune:F#5 tune:A4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "the tune stops after a bar", tune: sounding.Lou, until: 4, hits: "C3 0-3.8", want: []string{
		"1/1 right C3 tune:E4 @80",
	}},
	{what: "the tune stops, and the next bass comes", tune: sounding.Lou, until: 4, hits: "C3 0-3.5; A2 3.8-5.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 not-a-root A2>C3 fits:C @3900",
	}},
	{what: "the tune stops, and a last bass comes in its bar", tune: sounding.Lou, until: 4, hits: "C3 0-2.8; A2 3.2-5.2", want: []string{
		"1/1 right C3 tune:E4 @80",
		"1/4 not-a-root A2>C3 fits:C @3600",
	}},
	{what: "the tune stops, and two come together late", tune: sounding.Lou, until: 4, voicing: WithFifth, hits: "C3 G3 0-3.5; G2 D3 3.8-5.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @3900",
	}},
	{what: "stopped in the second bar and begun again", tune: sounding.Lou, until: 6, again: 12, hits: "C3 0-3.8; G2 4-5.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @2080",
		"2/1 misfit G2>C3 fits:C tune:E4 @8080 turn:1 again:1",
		"3/1 missing>G2 fits:G @12330 turn:1",
		"4/1 missing>C3 fits:C @14330 turn:1",
	}},
	{what: "stopped at the end of the second bar and begun again", tune: sounding.Lou, until: 8, again: 12, hits: "C3 0-3.8; G2 4-7.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @2080",
		"1/1 right C3 tune:E4 @6080 turn:1",
		"2/1 misfit G2>C3 fits:C tune:E4 @8080 turn:1 again:1",
		"3/1 missing>G2 fits:G @12330 turn:1",
		"4/1 missing>C3 fits:C @14330 turn:1",
	}},
	{what: "played twice, with nothing between", tune: sounding.Lou, again: 16, hits: "C3 0-3.8; G2 4-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
		"2/1 misfit G2>C3 fits:C tune:E4 @10080 turn:1 again:1",
		"3/1 right G2 tune:D4 @12080 turn:1",
		"4/1 right C3 tune:C4 @14080 turn:1",
	}},
	{what: "played twice, with a pause", tune: sounding.Lou, again: 24, hits: "C3 0-3.8; G2 4-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 misfit G2>C3 fits:C tune:E4 @2080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
		"1/1 right C3 tune:E4 @12080 turn:1",
		"2/1 misfit G2>C3 fits:C tune:E4 @14080 turn:1 again:1",
		"3/1 right G2 tune:D4 @16080 turn:1",
		"4/1 right C3 tune:C4 @18080 turn:1",
	}},

	{what: "two basses in a bar", tune: moving, hits: "C3 0-1.8; G2 2-3.8; G2 4-5.8; C3 6-7.8; C3 8-11.8", want: []string{
		"1/1 right C3 tune:E4 @1080",
		"2/1 right G2 tune:F4 @3080",
		"3/1 right C3 tune:C4 @4080",
	}},
	{what: "one for both: the tune leaves it", tune: moving, hits: "C3 0-3.8; G2 4-7.8; C3 8-11.8", want: []string{
		"1/3 misfit C3>G2 fits:G tune:D4 @1330 later",
		"2/3 misfit G2>C3 fits:C tune:E4 @3330 later",
		"3/1 right C3 tune:C4 @4080",
	}},
	{what: "the second early and late", tune: moving, hits: "C3 0-1.6; G2 1.7-3.5; G2 4-6.2; C3 6.3-7.9; C3 8-11.8", want: []string{
		"1/1 right C3 tune:E4 @930",
		"2/1 right G2 tune:F4 @3230",
		"3/1 right C3 tune:C4 @4080",
	}},
	{what: "the second too late", tune: moving, hits: "C3 0-2.8; G2 2.8-3.8; G2 4-7.8; C3 8-11.8", want: []string{
		"1/3 misfit C3>G2 fits:G tune:D4 @1330 later",
		"2/3 misfit G2>C3 fits:C tune:E4 @3330 later",
		"3/1 right C3 tune:C4 @4080",
	}},
	{what: "two with their fifths", tune: moving, voicing: WithFifth, hits: "C3 G3 0-1.8; G2 2-3.8; G2 D3 4-5.8; C3 G3 6-7.8; C3 8-11.8", want: []string{
		"1/3 no-fifth G2>D3 @2080",
		"2/1 right G2 tune:F4 @3080",
		"3/1 no-fifth C3>G3 @6330",
	}},
	{what: "a bass that gives way within its beat", tune: moving, voicing: WithFifth, hits: "G2 0-0.4; C3 G3 0.6-1.9; G2 D3 2-3.8; G2 D3 4-5.8; C3 G3 6-7.8; C3 G3 8-11.8", want: []string{
		"1/1 misfit G2>C3 fits:C tune:E4 @80",
		"2/1 right G2 tune:F4 @3080",
		"3/1 right C3 tune:C4 @4080",
	}},

	{what: "under a note held over the bar", tune: held, hits: "C3 0-3.8; C3 4-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "wrong under a held note", tune: held, voicing: WithFifth, hits: "C3 G3 0-3.8; C3 4-7.8; G2 D3 8-11.8; C3 G3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"2/1 no-fifth C3>G3 @4080",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "one bass through the held note", tune: held, hits: "C3 0-7.8; G2 8-11.8; C3 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"3/1 right G2 tune:D4 @4080",
		"4/1 right C3 tune:C4 @6080",
	}},
	{what: "none in the end", tune: held, hits: "C3 0-3.8; C3 4-7.8; G2 8-11.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"3/1 right G2 tune:D4 @4080",
		"4/1 missing>C3 fits:C @8330",
	}},
	{what: "G in the end, which holds", tune: held, hits: "C3 0-3.8; G2 8-11.8; G2 12-15.8", want: []string{
		"1/1 right C3 tune:E4 @80",
		"3/1 right G2 tune:D4 @4080",
		"4/1 misfit G2>C3 fits:C tune:C4 @6080",
	}},

	{what: "in three, with an upbeat", tune: waltz, basses: 3, hits: "F2 1-3.8; Bb2 4-6.8; C3 7-9.8; F2 10-11.8", want: []string{
		"1/1 right F2 tune:A4 @580",
		"2/1 right Bb2 tune:D5 @2080",
		"3/1 right C3 tune:G4 @3580",
		"4/1 right F2 tune:F4 @5080",
	}},
	{what: "in three, after the first beats", tune: waltz, basses: 3, hits: "F2 2-3.8; Bb2 5.6-7.4; C3 9-9.8; F2 10.7-12.5", want: []string{
		"1/2 right F2 tune:A4 @1080",
		"2/3 right Bb2 tune:Bb4 @2880",
		"3/3 right C3 tune:E4 @4580",
		"4/2 right F2 tune:F4 @5430",
	}},
	{what: "with the upbeat", tune: waltz, basses: 3, hits: "C3 0-0.9; F2 1-3.8; Bb2 4-6.8; C3 7-9.8; C3 10-11.8", want: []string{
		"1/1 right F2 tune:A4 @580",
		"2/1 right Bb2 tune:D5 @2080",
		"3/1 right C3 tune:G4 @3580",
		"4/1 misfit C3>Bb2 fits:F fits:Bb tune:F4 @5080",
	}},
	{what: "minor or major third, as the tune has it", tune: mill, basses: 3, voicing: WithTriad, hits: "A2 C3 E3 0-1.8; E2 G#2 B2 2-3.8; E2 G2 B2 4-5.8; D2 F2 A2 6-7.8; D2 F#2 A2 8-9.8; A2 C3 E3 10-11.8", want: []string{
		"1/1 right A2 tune:E5 @80",
		"2/1 right E2 tune:G#4 @1080",
		"3/1 right E2 tune:G4 @2080",
		"4/1 right D2 tune:F5 @3080",
		"5/1 right D2 tune:F#5 @4080",
		"6/1 right A2 tune:A4 @5080",
	}},
}
