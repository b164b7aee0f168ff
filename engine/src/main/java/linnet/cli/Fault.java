package linnet.cli;

import com.google.gson.JsonArray;
import com.google.gson.JsonObject;
import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.InvalidPathException;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import linnet.audio.SoundFileException;
import linnet.deliver.Delivery;
import linnet.files.SystemWords;
import linnet.files.Unfinished;
import linnet.text.Problem;
import linnet.text.ProblemsException;
import linnet.yaml.Siblings;

/**
 * What ended a command: one message, one exit code, no stack trace unless the fault is ours.
 *
 * @param file that it is about, as it was named; empty where it is about none, or a text has the places
 * @param problems of a text, each with its place
 * @param checks of the prints, where one of them fails
 * @param defect of ours
 */
record Fault(int code, String message, Optional<String> file, List<Problem> problems, List<Delivery.Finding> checks, Optional<Exception> defect) {
    private static final String NO_MEMORY = "there is not enough memory for this; close other programs, or render a shorter take";

    /** With what is said of it, and no more. */
    Fault(int code, String message) {
        this(code, message, Optional.empty(), List.of(), List.of(), Optional.empty());
    }

    private Fault(int code, String message, Path file) {
        this(code, message, Optional.of(file.toString()), List.of(), List.of(), Optional.empty());
    }

    static Fault noMemory() {
        return new Fault(Exit.DEFECT, NO_MEMORY);
    }

    /** Never comes back where the program is being ended: what fails because of that is no fault. */
    static Fault of(Exception e) {
        Unfinished.FILES.awaitEnd();
        if (e instanceof ProblemsException p) return new Fault(Exit.TEXT, p.getMessage(), Optional.empty(), p.problems(), List.of(), Optional.empty());
        if (e instanceof Refusal r) return new Fault(r.code(), r.getMessage(), r.file().map(Path::toString), List.of(), r.checks(), Optional.empty());
        if (e instanceof UncheckedIOException u) return of(u.getCause());
        // It came there only while the print was made: the same as where it was there before.
        if (e instanceof SoundFileException s && s.isThere()) return of(Refusal.there(s.file()));
        if (e instanceof SoundFileException s) return new Fault(Exit.FILE, Refusal.words(s), s.file());
        if (e instanceof NoSuchFileException n) {
            return new Fault(Exit.USAGE, n.getFile() + ": there is no such file or folder" + Siblings.hint(Path.of(n.getFile())), Path.of(n.getFile()));
        }
        if (e instanceof FileSystemException f && f.getFile() != null) {
            return new Fault(SystemWords.isOutOfFiles(f) ? Exit.FILE : Exit.USAGE, f.getFile() + ": " + reason(f), Path.of(f.getFile()));
        }
        if (e instanceof IOException i) return new Fault(Exit.FILE, "could not read or write: " + e.getMessage() + "; "
                + SystemWords.remedy(i, "free some space or choose another folder"));
        if (e instanceof InvalidPathException p) {
            return new Fault(Exit.USAGE, p.getInput() + ": the characters of this name are not those of the locale; say 'export LC_ALL=C.UTF-8' before");
        }
        // Threads that work beside the first hand on what stopped them as a cause.
        for (Throwable cause = e; cause != null; cause = cause.getCause()) if (cause instanceof OutOfMemoryError) return noMemory();
        return new Fault(Exit.DEFECT, "A defect of Linnet, not of your files. Please report it with the chain file and this text:",
                Optional.empty(), List.of(), List.of(),
                Optional.of(e));
    }

    /** Of one among several takes, which may all be called lead.wav. */
    static Fault ofOneOfSeveral(Exception e) {
        Fault fault = of(e);
        return e instanceof SoundFileException s ? new Fault(fault.code, Refusal.wordsInFull(s), s.file()) : fault;
    }

    private static String reason(FileSystemException e) {
        if (e instanceof AccessDeniedException) return "may not be read or written; give yourself the right to, or choose another folder";
        if (e instanceof FileAlreadyExistsException) return "is there already and is no folder; give another name";
        return "cannot be read or written" + (e.getReason() == null ? "" : " (" + e.getReason() + ")") + "; " + SystemWords.remedy(e, "choose another folder");
    }

    int say(PrintWriter err) {
        err.println(message);
        defect.ifPresent(d -> d.printStackTrace(err));
        return code;
    }

    /** For a script, in the place of what it asked for: the message as it is said, and each problem with its place. */
    JsonObject json() {
        JsonObject error = new JsonObject();
        error.addProperty("exit_code", code);
        error.addProperty("message", message + defect.map(d -> " " + d).orElse(""));
        file.ifPresent(f -> error.addProperty("file", f));
        JsonArray places = new JsonArray();
        for (Problem p : problems) {
            JsonObject o = new JsonObject();
            o.addProperty("file", p.at().source().name());
            o.addProperty("line", p.at().line());
            o.addProperty("column", p.at().column());
            o.addProperty("message", p.message());
            places.add(o);
        }
        if (!problems.isEmpty()) error.add("problems", places);
        if (!checks.isEmpty()) error.add("checks", PrintedSong.asJson(checks));
        JsonObject all = new JsonObject();
        all.add("error", error);
        return all;
    }

    /** In the place of what was asked of one file among several. */
    JsonObject json(Path file) {
        JsonObject one = new JsonObject();
        one.addProperty("file", file.toString());
        one.add("error", json().get("error"));
        return one;
    }
}
