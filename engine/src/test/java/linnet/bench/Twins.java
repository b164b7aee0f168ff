package linnet.bench;

import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/** The program made of {@code twins.c}, with the arithmetic that Java does too: no fused multiply-add. */
final class Twins {
    static final List<String> NAMES = List.of("saturate", "network", "resample", "pitch");

    private final Path folder;

    private Twins(Path folder) {
        this.folder = folder;
    }

    /** Nothing where there is no gcc. */
    static Optional<Twins> compiled(Path folder) throws IOException, InterruptedException {
        Files.createDirectories(folder);
        Path source = folder.resolve("twins.c");
        try (InputStream in = Twins.class.getResourceAsStream("/linnet/bench/twins.c")) {
            Files.write(source, in.readAllBytes());
        }
        try {
            run(List.of("gcc", "--version"));
        } catch (IOException absent) {
            return Optional.empty();
        }
        run(List.of("gcc", "-O3", "-march=native", "-ffp-contract=off", "-o", folder.resolve("twins").toString(), source.toString(), "-lm", "-ldl"));
        return Optional.of(new Twins(folder));
    }

    /** What the next calls work on. */
    void hear(double[] sound) throws IOException {
        try (DataOutputStream out = new DataOutputStream(new BufferedOutputStream(Files.newOutputStream(folder.resolve("in")), 1 << 16))) {
            for (double x : sound) out.writeLong(Long.reverseBytes(Double.doubleToRawLongBits(x)));
        }
    }

    /** Nanoseconds of thread time per sample; NaN where a library that the kernel needs is not there. */
    double time(String name) throws IOException, InterruptedException {
        return Double.parseDouble(run(List.of(program(), name, folder.resolve("in").toString())).trim().split(" ")[1]);
    }

    /** One channel after the other. */
    double[] play(String name) throws IOException, InterruptedException {
        Path file = folder.resolve("out");
        run(List.of(program(), name, folder.resolve("in").toString(), file.toString()));
        double[] played = new double[(int) (Files.size(file) / Double.BYTES)];
        try (DataInputStream in = new DataInputStream(new BufferedInputStream(Files.newInputStream(file), 1 << 16))) {
            for (int i = 0; i < played.length; i++) played[i] = Double.longBitsToDouble(Long.reverseBytes(in.readLong()));
        }
        return played;
    }

    private String program() {
        return folder.resolve("twins").toString();
    }

    private static String run(List<String> command) throws IOException, InterruptedException {
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        String said = new String(process.getInputStream().readAllBytes());
        if (process.waitFor() != 0) throw new IllegalStateException(command + ": " + said);
        return said;
    }
}
