package linnet.fuzz;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import java.io.IOException;
import java.lang.reflect.Field;
import java.lang.reflect.Modifier;
import java.nio.ByteBuffer;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.zip.CRC32C;
import linnet.hear.Remembered;
import linnet.store.Store;

/**
 * What a store gives back: the file of what was heard of a sound, with a checksum that a forger knows too, and in each form a fact, which the first byte picks.
 */
final class Facts implements Reader {
    /** All forms of the house. What was found once picks its form by its place, so a class that comes new comes last. */
    static final List<Remembered<?>> FORMS = forms("hear.Remembered", "hear.Levels", "hear.Intake", "hear.Event", "hear.Joint", "weigh.Scale", "tidy.Decision",
            "tidy.Treatment", "step.builtin.CompressorSettings");
    private static final long MAGIC = 0x4c4e_5446_4143_5431L;

    private static List<Remembered<?>> forms(String... classes) {
        List<Remembered<?>> forms = new ArrayList<>();
        try {
            for (String name : classes) {
                for (Field f : Class.forName("linnet." + name).getDeclaredFields()) {
                    if (f.getType() != Remembered.class || !Modifier.isStatic(f.getModifiers())) continue;
                    f.setAccessible(true);
                    forms.add((Remembered<?>) f.get(null));
                }
            }
        } catch (ReflectiveOperationException e) {
            throw new AssertionError(e);
        }
        return forms;
    }

    @Override
    public void read(byte[] input, Path folder, boolean thorough) throws IOException {
        if (input.length > 0) readsBack(FORMS.get((input[0] & 0xFF) % FORMS.size()), Arrays.copyOfRange(input, 1, input.length));
        CRC32C checksum = new CRC32C();
        checksum.update(input);
        Files.write(folder.resolve("a sound.facts"), ByteBuffer.allocate(16 + input.length).putLong(MAGIC).putLong(checksum.getValue()).put(input).array());
        new Store(folder, 1 << 20).recollection("a sound").memory().recall("voice");
    }

    /** What is read is written, and is the same when it is read again. */
    private static <T> void readsBack(Remembered<T> form, byte[] bytes) {
        Optional<T> fact = form.read(bytes);
        if (fact.isEmpty()) return;
        byte[] written = form.write(fact.get());
        assertArrayEquals(written, form.write(form.read(written).orElseThrow()));
    }

    @Override
    public long mostBytes() {
        return 16 << 20;
    }
}
