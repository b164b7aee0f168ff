package linnet.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.Test;

/** A render uses no more threads than it was given, whatever it hears of the takes beside what it prints. */
class JobsTest extends SongFolder {
    @Test
    void oneJobIsOneThread() throws Exception {
        Takes.tone(folder.resolve("take.wav"), 220, 0.2, 60);
        AtomicBoolean over = new AtomicBoolean();
        AtomicInteger most = new AtomicInteger();
        Thread count = new Thread(() -> {
            while (!over.get()) {
                int beside = (int) Thread.getAllStackTraces().entrySet().stream().filter(e -> e.getKey().getName().equals("beside"))
                        .filter(e -> Arrays.stream(e.getValue()).anyMatch(f -> f.getClassName().startsWith("linnet.hear")
                                || f.getClassName().equals("linnet.render.Renderer"))).count();
                most.accumulateAndGet(beside, Math::max);
            }
        });
        count.start();
        assertEquals(Exit.DONE, run("render", song, "--out", prints, "--jobs", 1), err.toString());
        over.set(true);
        count.join();
        assertEquals(1, most.get(), "threads that hear or render at once");
    }
}
