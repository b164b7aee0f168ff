package linnet.render;

import java.io.IOException;
import java.util.List;
import java.util.concurrent.ExecutorService;
import java.util.function.Function;
import linnet.dsp.Sound;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.render.Renderer.Sink;
import linnet.step.Kernel;

/**
 * What a chain makes of a sum of which no shares are wanted: then it need not go cell by cell beside them, and pieces of it work at once. To the same bits as
 * {@link SharedOut}.
 */
final class Undivided {
    private final List<Post> posts;
    private final int channels, latency;
    private final double[][] piece;

    /** @param starts how the kernels of the chain are started once more, set as they were */
    Undivided(Plan plan, Function<Node, Kernel> starts, Sound whole) {
        posts = SharedOut.posts(plan, whole, starts);
        channels = plan.output().channels();
        latency = plan.output().departure();
        piece = new double[channels][Renderer.HANDED_OVER];
    }

    /**
     * Runs it.
     *
     * @param frames wanted in all
     * @param sink takes what comes out, its latency taken out
     * @param threads that may work on it
     */
    void run(long frames, Sink sink, int threads) throws IOException {
        Post last = posts.get(posts.size() - 1);
        ExecutorService pool = SideBySide.pool(threads);
        try {
            new Pipeline(posts, List.of(last), Renderer.HANDED_OVER, threads, pool).run((chunk, at) -> {
                int from = (int) Math.max(0, Math.min(Renderer.HANDED_OVER, latency - at)), to = (int) Math.min(Renderer.HANDED_OVER, frames + latency - at);
                for (int c = 0; c < channels; c++) System.arraycopy(last.out(chunk)[c], from, piece[c], 0, to - from);
                if (to > from) sink.write(piece, to - from);
                return at + Renderer.HANDED_OVER < frames + latency;
            });
        } finally {
            SideBySide.stop(pool);
        }
    }
}
