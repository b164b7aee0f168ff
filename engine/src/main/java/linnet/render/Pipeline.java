package linnet.render;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ExecutorService;
import linnet.dsp.Cell;

/**
 * Runs the posts of a stage through time, chunk by chunk. With a pool the posts are cut into groups in
 * their order; each group works on a chunk when the group before it has, up to some chunks ahead of the calling thread, which takes
 * the results away and works on what is next where there is nothing to take. Nobody waits for a chunk of another's that he does not need. Inside a group a
 * chunk is worked through cell by cell, so what goes from post to post is still in the cache. No result depends on the cut: a post sees the same blocks in the
 * same order.
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
    private final Set<Post> takenAway;
    private final int frames;
    private final int most;
    private final ExecutorService pool;

    /**
     * @param taken posts whose results the taker takes away
     * @param frames length of a chunk in samples
     * @param most groups; 0 if all is done on the calling thread
     * @param pool where the groups work
     */
    Pipeline(List<Post> posts, List<Post> taken, int frames, int most, ExecutorService pool) {
        this.posts = posts;
        this.takenAway = Set.copyOf(taken);
        this.frames = frames;
        this.most = most;
        this.pool = pool;
    }

    /** How many chunks are kept for those behind: with two more than there are groups, one may be slow now and then and nobody waits. */
    private int kept() {
        return most == 0 ? 1 : most + 3;
    }

    /**
     * Says to posts how they hand their results on. Chunks are kept of what another group reads, or a taker; what only one post reads, right after and as it
     * is, that goes on with in the same block.
     *
     * @param count chunks that are kept, each of so many frames
     */
    static void join(List<List<Post>> groups, Set<Post> taken, int count, int frames) {
        Map<Post, Integer> readers = new HashMap<>();
        for (List<Post> group : groups) {
            for (Post post : group) {
                post.keepCell();
                for (Post maker : post.makers()) readers.merge(maker, 1, Integer::sum);
            }
        }
        for (Post post : taken) post.keepChunks(count, frames);
        for (List<Post> group : groups) {
            for (Post post : group) {
                for (Post maker : post.makers()) if (!group.contains(maker)) maker.keepChunks(count, frames);
                post.sole().filter(m -> group.contains(m) && readers.get(m) == 1).ifPresent(post::goOn);
            }
        }
    }

    /** Runs until the taker wants no more. */
    void run(Taker taker) throws IOException {
        long chunk = 0;
        if (most == 0) {
            join(List.of(posts), takenAway, kept(), frames);
            do work(posts, chunk); while (taker.take(chunk, chunk++ * frames));
            return;
        }
        for (long length = FIRST; ; length *= GROWTH) {
            List<List<Post>> groups = groups();
            join(groups, takenAway, kept(), frames);
            if (!new Flow(groups, chunk, chunk + length).run(taker)) return;
            chunk += length;
        }
    }

    /** Some chunks on their way through the groups. Each group has one of them at a time; who is free takes the one that is nearest to its end. */
    private final class Flow {
        private final List<List<Post>> groups;
        private final long to;
        /** Of each group the chunk it works on next, and whether it does. */
        private final long[] next;
        private final boolean[] busy;
        /** The chunk that is taken away next. */
        private long taken;
        /** Threads of the pool that were called and have not gone yet. */
        private int called;
        private boolean stopped;
        private Throwable failure;

        Flow(List<List<Post>> groups, long from, long to) {
            this.groups = groups;
            this.to = to;
            next = new long[groups.size()];
            Arrays.fill(next, from);
            busy = new boolean[groups.size()];
            taken = from;
        }

        /** False when nothing more is wanted. */
        boolean run(Taker taker) throws IOException {
            try {
                while (taken < to) {
                    int group = ahead();
                    if (group >= 0) {
                        work(group);
                    } else {
                        if (!taker.take(taken, taken * frames)) return false;
                        took();
                    }
                }
                return true;
            } finally {
                stop();
            }
        }

        /** The group whose next chunk the caller works on, or -1 if there is one to take away; waits for either. */
        private synchronized int ahead() {
            call();
            while (failure == null && next[groups.size() - 1] == taken) {
                int group = begin();
                if (group >= 0) return group;
                sleep();
            }
            if (failure instanceof Error e) throw e;
            if (failure != null) throw (RuntimeException) failure;
            return -1;
        }

        private synchronized void took() {
            taken++;
        }

        /** Nothing is begun any more; comes back when nobody is at work. */
        private synchronized void stop() {
            stopped = true;
            while (isBusy()) sleep();
        }

        private boolean isBusy() {
            for (boolean b : busy) if (b) return true;
            return false;
        }

        private void sleep() {
            try {
                wait();
            } catch (InterruptedException e) {
                stopped = true;
                Thread.currentThread().interrupt();
                throw new IllegalStateException("interrupted", e);
            }
        }

        /** The last group that can go on: it has a chunk, and those behind it have done with the one whose place it takes. -1 if none can. */
        private int ready() {
            if (stopped || failure != null) return -1;
            for (int g = groups.size() - 1; g >= 0; g--) {
                if (!busy[g] && next[g] < Math.min(to, taken + kept()) && (g == 0 || next[g - 1] > next[g])) return g;
            }
            return -1;
        }

        private int begin() {
            int group = ready();
            if (group >= 0) busy[group] = true;
            return group;
        }

        /** Lets one more thread of the pool come where there is something to do for it. */
        private void call() {
            if (called == groups.size() || ready() < 0) return;
            called++;
            pool.execute(this::help);
        }

        private void help() {
            for (int group = forThePool(); group >= 0; group = forThePool()) work(group);
        }

        /** What a thread of the pool does next; -1 if it can go. */
        private synchronized int forThePool() {
            int group = begin();
            if (group < 0) called--;
            else call();
            return group;
        }

        private void work(int group) {
            Throwable thrown = null;
            try {
                Pipeline.this.work(groups.get(group), next[group]);
            } catch (RuntimeException | Error e) {
                thrown = e;
            }
            done(group, thrown);
        }

        private synchronized void done(int group, Throwable thrown) {
            if (failure == null) failure = thrown;
            busy[group] = false;
            next[group]++;
            call();
            notifyAll();
        }
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
}
