package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.FutureTask;
import linnet.dsp.Cell;

/**
 * Runs the posts of a stage through time, chunk by chunk. With a pool the posts are cut into groups in
 * their order; each group works one chunk behind the group before it, while the calling thread takes
 * the results of the chunk before away, and then does what no thread of the pool has begun yet. Inside a group a chunk is worked through cell
 * by cell, so what goes from post to post is still in the cache. No result depends on the cut: a post sees the same blocks in the same order.
 */
final class Pipeline {
    /** Takes the results of a chunk away. Called for each chunk in order, always on the calling thread. */
    interface Taker {
        /**
         * @param chunk which chunk
         * @param at time of its first sample
         * @return false when nothing more is wanted
         */
        boolean take(long chunk, long at) throws IOException;
    }

    /** Chunks after which the groups are cut anew, by what the posts cost in the meantime: first soon, then rarely. */
    private static final int FIRST = 8, GROWTH = 4;

    private final List<Post> posts;
    private final int frames;
    private final int most;
    private final ExecutorService pool;

    /**
     * @param frames length of a chunk in samples
     * @param most groups; 0 if all is done on the calling thread
     * @param pool where the groups work
     */
    Pipeline(List<Post> posts, int frames, int most, ExecutorService pool) {
        this.posts = posts;
        this.frames = frames;
        this.most = most;
        this.pool = pool;
    }

    /** How many chunks a post must keep for those behind it. */
    static int kept(int groups) {
        return groups + 1;
    }

    /** Runs until the taker wants no more. */
    void run(Taker taker) throws IOException {
        long chunk = 0;
        if (most == 0) {
            do work(posts, chunk); while (taker.take(chunk, chunk++ * frames));
            return;
        }
        for (long length = FIRST; ; length *= GROWTH) {
            if (!run(groups(), chunk, chunk + length, taker)) return;
            chunk += length;
        }
    }

    /** Chunks {@code from … to - 1} through the groups; false when nothing more is wanted. */
    private boolean run(List<List<Post>> groups, long from, long to, Taker taker) throws IOException {
        int last = groups.size();
        for (long tick = from; tick < to + last; tick++) {
            List<FutureTask<?>> tasks = new ArrayList<>();
            for (int g = 0; g < last; g++) {
                long chunk = tick - g;
                List<Post> group = groups.get(g);
                if (chunk >= from && chunk < to) tasks.add(new FutureTask<>(() -> work(group, chunk), null));
            }
            tasks.forEach(pool::execute);
            long done = tick - last;
            boolean goOn = true;
            try {
                if (done >= from) goOn = taker.take(done, done * frames);
            } finally {
                for (FutureTask<?> task : tasks) task.run();
                for (FutureTask<?> task : tasks) await(task);
            }
            if (!goOn) return false;
        }
        return true;
    }

    private void work(List<Post> group, long chunk) {
        long at = chunk * frames;
        for (int done = 0; done < frames; ) {
            int n = (int) Math.min(frames - done, Cell.LENGTH - (at + done) % Cell.LENGTH);
            for (Post post : group) post.run(chunk, done, at + done, n);
            done += n;
        }
    }

    /** At most so many groups as were asked for, of which the dearest is as cheap as can be by what the posts have cost so far. */
    private List<List<Post>> groups() {
        long low = posts.stream().mapToLong(Pipeline::cost).max().orElse(0), high = posts.stream().mapToLong(Pipeline::cost).sum();
        while (low < high) {
            long middle = (low + high) / 2;
            if (groups(middle).size() > most) low = middle + 1;
            else high = middle;
        }
        return groups(low);
    }

    private List<List<Post>> groups(long atMost) {
        List<List<Post>> groups = new ArrayList<>();
        int from = 0;
        long cost = 0;
        for (int i = 0; i < posts.size(); i++) {
            if (i > from && cost + cost(posts.get(i)) > atMost) {
                groups.add(posts.subList(from, i));
                from = i;
                cost = 0;
            }
            cost += cost(posts.get(i));
        }
        groups.add(posts.subList(from, posts.size()));
        return groups;
    }

    private static long cost(Post post) {
        return post.nanos() + 1;
    }

    static void await(FutureTask<?> work) {
        try {
            work.get();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        } catch (ExecutionException e) {
            throw e.getCause() instanceof RuntimeException r ? r : new IllegalStateException(e.getCause());
        }
    }
}
