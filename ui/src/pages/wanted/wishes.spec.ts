// Colours along a part: the pick follows, places stay in order.
import { describe, expect, it } from 'vitest';
import { another, moved, placed, withColour, without } from './wishes';

const three = { wishes: [{ at: 0, colour: 'gold' }, { at: 50, colour: 'purple' }, { at: 100, colour: 'blue' }], pick: 1 };
const colours = (w: { wishes: { colour: string }[] }) => w.wishes.map((x) => x.colour);

describe('wishes', () => {
  it('the first colour makes the first wish, a later one changes the pick', () => {
    const one = withColour({ wishes: [], pick: 0 }, 'gold');
    expect(one).toEqual({ wishes: [{ at: 50, colour: 'gold' }], pick: 0 });
    expect(colours(withColour(three, 'teal'))).toEqual(['gold', 'teal', 'blue']);
  });
  it('another stands behind the pick, and even places stay even', () => {
    const four = another(three);
    expect(colours(four)).toEqual(['gold', 'purple', 'purple', 'blue']);
    expect(four.wishes.map((w) => w.at)).toEqual([0, 33, 67, 100]);
    expect(four.pick).toBe(2);
  });
  it('neighbours exchange colours, the pick goes along', () => {
    const left = moved(three, 1, -1);
    expect(colours(left)).toEqual(['purple', 'gold', 'blue']);
    expect(left.pick).toBe(0);
    expect(moved(three, 2, 1)).toBe(three);
  });
  it('a wish at another place finds its order', () => {
    const far = placed(three, 1, 120 - 10);
    expect(colours(far)).toEqual(['gold', 'blue', 'purple']);
    expect(far.pick).toBe(2);
  });
  it('without the pick its neighbour is picked', () => {
    const two = without(three, 1);
    expect(colours(two)).toEqual(['gold', 'blue']);
    expect(two.pick).toBe(1);
  });
});
