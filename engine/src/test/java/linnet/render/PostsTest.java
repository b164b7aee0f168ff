package linnet.render;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeSet;
import linnet.dsp.Cell;
import linnet.dsp.Samples;
import linnet.plan.Node;
import linnet.step.Kernel;
import org.junit.jupiter.api.Test;

/** How posts hand results on: in one block, by cells or by chunks, as groups are cut. */
class PostsTest {
    private static final int RATE = 8000;

    /** A node: a step or a sum, with those it takes from and by how many samples each is late. */
    private record Shape(int id, boolean step, int channels, List<int[]> feeds) {}

    private static List<Shape> shapes(SplittableRandom random) {
        List<Shape> all = new ArrayList<>();
        all.add(new Shape(0, false, 1 + random.nextInt(2), List.of()));
        int n = 2 + random.nextInt(9);
        for (int i = 1; i < n; i++) {
            boolean step = random.nextInt(3) > 0;
            List<int[]> feeds = new ArrayList<>();
            int channels = random.nextInt(4) == 0 ? 2 : 1;
            for (int k = step ? 1 : 1 + random.nextInt(3); k > 0; k--) {
                int from = random.nextBoolean() ? i - 1 : random.nextInt(i);
                feeds.add(new int[] {from, random.nextInt(3) == 0 ? random.nextInt(900) : 0});
                channels = Math.max(channels, all.get(from).channels);
            }
            all.add(new Shape(i, step, channels, feeds));
        }
        return all;
    }

    private static List<Post> posts(List<Shape> shapes, Samples take) {
        List<Post> posts = new ArrayList<>();
        for (Shape s : shapes) {
            List<Supply> supplies = new ArrayList<>();
            if (s.feeds.isEmpty()) supplies.add(new Supply(new Supply.Source.There(take), s.channels, 0, null));
            for (int[] f : s.feeds) supplies.add(new Supply(new Supply.Source.Made(posts.get(f[0])), shapes.get(f[0]).channels, f[1], null));
            Node node = new Node(s.id, "node " + s.id, List.of(), s.channels, 0, 0, 0, Optional.empty(), List.of());
            posts.add(new Post(node, supplies, s.step ? kernel(s, supplies.get(0).channels()) : null, null));
        }
        return posts;
    }

    private static Kernel kernel(Shape s, int arriving) {
        double[] state = new double[2];
        return block -> {
            if (s.channels > arriving) System.arraycopy(block.x(0), 0, block.x(1), 0, block.length());
            for (int c = 0; c < s.channels; c++) {
                for (int i = 0; i < block.length(); i++) block.x(c)[i] = state[c] = 0.3 * state[c] + (0.5 + 0.01 * s.id) * block.x(c)[i] + 0.01 * c;
            }
        };
    }

    private static void work(List<Post> group, long chunk, int frames) {
        long at = chunk * frames;
        for (int done = 0; done < frames; ) {
            int n = (int) Math.min(frames - done, Cell.LENGTH - (at + done) % Cell.LENGTH);
            for (Post post : group) post.run(chunk, done, at + done, n);
            done += n;
        }
    }

    private static List<List<Post>> cut(List<Post> posts, int most, SplittableRandom random) {
        List<List<Post>> groups = new ArrayList<>();
        int begin = 0;
        for (int i = 1; i <= posts.size(); i++) {
            if (i < posts.size() && (groups.size() == most - 1 || random.nextInt(3) > 0)) continue;
            groups.add(posts.subList(begin, i));
            begin = i;
        }
        return groups;
    }

    /** Any graph, cut anew at any time, groups ahead of one another by as many chunks as may be: the samples of posts that all keep all of a chunk. */
    @Test
    void noCutMovesASample() {
        for (int seed = 0; seed < 300; seed++) {
            var random = new SplittableRandom(seed);
            List<Shape> shapes = shapes(random);
            double[][] x = new double[shapes.get(0).channels][30_000];
            for (double[] side : x) for (int i = 0; i < side.length; i++) side[i] = random.nextDouble(-1, 1);
            Samples take = new Samples(RATE, x);
            int frames = new int[] {1, 7, 60, 480, 500, 1000}[random.nextInt(6)], most = 2 + random.nextInt(4), kept = most + 3, total = frames < 60 ? 200 : 24;
            Set<Integer> away = new TreeSet<>(List.of(shapes.size() - 1));
            for (int i = 1; i < shapes.size(); i++) if (random.nextInt(4) == 0) away.add(i);
            Map<Integer, double[]> wanted = wanted(posts(shapes, take), away, frames, total);

            List<Post> posts = posts(shapes, take);
            Set<Post> taken = new HashSet<>();
            away.forEach(id -> taken.add(posts.get(id)));
            for (int from = 0, to; from < total; from = to) {
                to = Math.min(total, from + 1 + random.nextInt(9));
                List<List<Post>> groups = cut(posts, most, random);
                Pipeline.join(groups, taken, kept, frames);
                int[] next = new int[groups.size()];
                Arrays.fill(next, from);
                for (int k = from; k < to; ) {
                    int g = random.nextInt(groups.size() + 1);
                    if (g < groups.size()) {
                        if (next[g] < Math.min(to, k + kept) && (g == 0 || next[g - 1] > next[g])) work(groups.get(g), next[g]++, frames);
                    } else if (next[g - 1] > k) {
                        for (int id : away) {
                            assertSame(wanted.get(id), posts.get(id).out(k), k, frames, total, "seed " + seed + ", node " + id + ", chunk " + k);
                        }
                        k++;
                    }
                }
            }
        }
    }

    private static Map<Integer, double[]> wanted(List<Post> posts, Set<Integer> away, int frames, int total) {
        Map<Integer, double[]> wanted = new HashMap<>();
        for (int id : away) wanted.put(id, new double[2 * frames * total]);
        posts.forEach(p -> p.keepChunks(1, frames));
        for (int k = 0; k < total; k++) {
            work(posts, k, frames);
            for (int id : away) {
                double[][] out = posts.get(id).out(k);
                for (int c = 0; c < out.length; c++) System.arraycopy(out[c], 0, wanted.get(id), (c * total + k) * frames, frames);
            }
        }
        return wanted;
    }

    private static void assertSame(double[] wanted, double[][] out, int chunk, int frames, int total, String where) {
        for (int c = 0; c < out.length; c++) for (int i = 0; i < frames; i++) assertEquals(wanted[(c * total + chunk) * frames + i], out[c][i], where);
    }

    /** A step that works once in 512 samples, as spectra do: what it costs is told by the runs that are timed. A busy machine makes that more, never less. */
    @Test
    void whatWorksNowAndThenIsTimedToo() {
        long once = 50_000, hop = 512, cells = 9000;
        Samples take = new Samples(RATE, new double[Cell.LENGTH]);
        long[] seen = new long[1];
        Kernel kernel = block -> {
            for (int i = 0; i < block.length(); i++) {
                if (++seen[0] % hop != 0) continue;
                for (long began = System.nanoTime(); System.nanoTime() - began < once; ) Thread.onSpinWait();
            }
        };
        Post post = new Post(new Node(0, "now and then", List.of(), 1, 0, 0, 0, Optional.empty(), List.of()),
                List.of(new Supply(new Supply.Source.There(take), 1, 0, null)), kernel, null);
        for (int cell = 0; cell < cells; cell++) post.run(cell, 0, (long) cell * Cell.LENGTH, Cell.LENGTH);
        long least = cells * Cell.LENGTH / hop * once;
        assertTrue(post.nanos() > least / 2, post.nanos() + " of " + least);
    }
}
