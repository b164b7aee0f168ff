package linnet.fuzz;

import java.io.IOException;
import java.nio.file.Path;
import linnet.text.ProblemsException;

/** Something that reads, with what must hold of whatever it makes of an input. */
interface Reader {
    /**
     * Reads bytes that may be anything.
     *
     * @param folder to put them in; nobody else writes to it
     * @param thorough whether to try also what is slow beside the reading
     * @throws ProblemsException as the refusal of a text
     * @throws IOException as the refusal of a sound file, if it is a {@link linnet.audio.SoundFileException}
     */
    void read(byte[] input, Path folder, boolean thorough) throws ProblemsException, IOException;

    /** What the house promises of memory: bytes that an input of 64 KiB may take, freed or not. */
    long mostBytes();
}
