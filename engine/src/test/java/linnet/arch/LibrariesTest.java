package linnet.arch;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.File;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import linnet.Voices;
import org.junit.jupiter.api.Test;

/** Every library that runs here is the one that was looked at: of a version that is written down, with the checksum that is. */
class LibrariesTest {
    private static final Path HOUSE = Voices.repository();

    /** Of the list that is kept, by the place in a repository of Maven. */
    private static Map<String, String> kept() throws IOException {
        Map<String, String> kept = new HashMap<>();
        for (String line : Files.readAllLines(HOUSE.resolve(".mvn/checksums/checksums.sha256"))) kept.put(line.substring(66), line.substring(0, 64));
        return kept;
    }

    private static List<Path> jars() {
        return Stream.of(System.getProperty("java.class.path").split(File.pathSeparator)).filter(p -> p.endsWith(".jar")).map(Path::of).toList();
    }

    /** Group, name and version are its last folders; where the group begins is known from the list. */
    private static String place(Path jar, Map<String, String> kept) {
        for (int n = jar.getNameCount() - 4; n >= 0; n--) {
            String place = jar.subpath(n, jar.getNameCount()).toString().replace(File.separatorChar, '/');
            if (kept.containsKey(place)) return place;
        }
        return jar.getFileName().toString();
    }

    private static String sum(Path jar) throws Exception {
        return HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(Files.readAllBytes(jar)));
    }

    @Test
    void everyLibraryOnTheClassPathIsTheOneThatIsListed() throws Exception {
        Map<String, String> kept = kept();
        List<String> wrong = new ArrayList<>();
        for (Path jar : jars()) {
            String place = place(jar, kept), found = sum(jar);
            if (!found.equals(kept.get(place))) {
                wrong.add(found + "  " + place + (kept.containsKey(place) ? " is not what is listed, " + kept.get(place) : " is not listed in .mvn/checksums"));
            }
        }
        assertEquals(List.of(), wrong);
        assertTrue(jars().size() > 20, "of so many libraries only these were seen: " + jars());
    }

    /** What users run is checked by each build, with tests or without. */
    @Test
    void theBuildChecksEveryLibraryThatIsDelivered() throws Exception {
        String pom = Files.readString(HOUSE.resolve("engine/pom.xml"));
        List<String> unchecked = new ArrayList<>();
        Matcher m = Pattern.compile("<file>\\$\\{([^:]+):([^:]+):jar}</file><checksum>([0-9a-f]{64})</checksum>").matcher(pom);
        Map<String, String> rules = new HashMap<>();
        while (m.find()) rules.put(m.group(2), m.group(3));
        // Libraries of tests alone are written down with their scope; what they bring with them is none of ours.
        for (Path jar : jars()) {
            String name = jar.getParent().getParent().getFileName().toString();
            if (rules.containsKey(name)) assertEquals(rules.get(name), sum(jar), name);
            else if (isDeclaredToRun(pom, name)) unchecked.add(name + " " + sum(jar));
        }
        assertEquals(List.of(), unchecked);
        Path delivered = HOUSE.resolve("engine/target/lib");
        if (!Files.isDirectory(delivered)) return;
        try (Stream<Path> files = Files.list(delivered)) {
            for (Path jar : files.toList()) {
                assertTrue(rules.containsValue(sum(jar)), jar.getFileName() + " is delivered, and no rule of engine/pom.xml has its checksum");
            }
        }
    }

    private static boolean isDeclaredToRun(String pom, String name) {
        return Pattern.compile("<artifactId>" + Pattern.quote(name) + "</artifactId><version>[^<]+</version>(?!<scope>test)")
                .matcher(pom.substring(0, pom.indexOf("<build>"))).find();
    }

    /** A range, or a version that may be another tomorrow, would make the list a thing of luck. */
    @Test
    void everyVersionIsWrittenDown() throws IOException {
        for (String file : List.of("pom.xml", "engine/pom.xml")) {
            String pom = Files.readString(HOUSE.resolve(file));
            assertFalse(pom.contains("SNAPSHOT") || pom.matches("(?s).*<version>[\\[(].*") || pom.contains("LATEST") || pom.contains("<repository>"), file);
            Matcher m = Pattern.compile("<dependency>(.*?)</dependency>", Pattern.DOTALL).matcher(pom);
            while (m.find()) assertTrue(m.group(1).contains("<version>"), m.group(1));
        }
    }
}
