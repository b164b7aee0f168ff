package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.Map;

/** Every file that a render of a song or chain would read: whoever got it from a stranger sees here what it reaches for. */
final class Reads {
    /** What is read as what, each file once; in the order in which it is asked for. */
    private final Map<Path, String> files = new LinkedHashMap<>();
    private final Path folder;

    /** @param text the song or chain */
    Reads(Path text) {
        folder = text.toAbsolutePath().normalize().getParent();
    }

    Reads texts(Collection<Path> paths) {
        return add("text", paths);
    }

    Reads sounds(Collection<Path> paths) {
        return add("sound", paths);
    }

    Reads lists(Collection<Path> paths) {
        return add("list", paths);
    }

    private Reads add(String kind, Collection<Path> paths) {
        for (Path p : paths) files.putIfAbsent(p.toAbsolutePath().normalize(), kind);
        return this;
    }

    private static Path real(Path file) {
        try {
            return file.toRealPath();
        } catch (IOException e) {
            return file;
        }
    }

    private boolean isOutside(Path file) {
        return !real(file).startsWith(real(folder));
    }

    void say(PrintWriter out) {
        out.println();
        out.println("Reads:");
        files.forEach((file, kind) -> out.printf("  %-6s %s%s%s%n", kind, file, Files.isSymbolicLink(file) ? ", a link to " + real(file) : "",
                isOutside(file) ? ", outside this folder" : ""));
    }

    JsonArray json() {
        JsonArray array = new JsonArray();
        files.forEach((file, kind) -> {
            JsonObject o = new JsonObject();
            o.addProperty("kind", kind);
            o.addProperty("file", file.toString());
            o.addProperty("link_to", Files.isSymbolicLink(file) ? real(file).toString() : null);
            o.addProperty("outside", isOutside(file));
            array.add(o);
        });
        return array;
    }
}
