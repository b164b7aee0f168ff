package linnet.arch;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.classes;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.fields;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noFields;
import static com.tngtech.archunit.library.Architectures.layeredArchitecture;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.junit.jupiter.api.Assertions.assertFalse;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.domain.properties.HasName;
import com.tngtech.archunit.core.domain.properties.HasOwner;
import com.tngtech.archunit.core.importer.ImportOption;
import com.tngtech.archunit.junit.AnalyzeClasses;
import com.tngtech.archunit.junit.ArchTest;
import com.tngtech.archunit.lang.ArchCondition;
import com.tngtech.archunit.lang.ArchRule;
import com.tngtech.archunit.lang.ConditionEvents;
import com.tngtech.archunit.lang.SimpleConditionEvent;
import com.tngtech.archunit.library.Architectures.LayeredArchitecture;
import com.tngtech.archunit.library.GeneralCodingRules;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import linnet.step.Kernel;
import linnet.step.Step;

/** The rooms of the house: who may know whom, and what only one room may touch. */
@AnalyzeClasses(packages = "linnet", importOptions = ImportOption.DoNotIncludeTests.class)
class RoomsTest {
    /** The one with another room inside. */
    private static final String ROOM_IN_A_ROOM = "step";

    /** By room, whom it may know; as the table of the house rules has it. */
    private static final Map<String, Set<String>> ROOMS = rooms();

    @ArchTest
    static final ArchRule ARROWS_POINT_DOWN = arrows();

    @ArchTest
    static final ArchRule EVERY_ROOM_IS_ON_THE_MAP = classes().should()
            .resideInAnyPackage(ROOMS.keySet().stream().map(RoomsTest::packages).toArray(String[]::new));

    private static Map<String, Set<String>> rooms() {
        Map<String, Set<String>> rooms = new LinkedHashMap<>();
        Pattern row = Pattern.compile("\\| `([a-z/]+)` \\| (.+?) \\| .+ \\|"), name = Pattern.compile("`([a-z/]+)`");
        try {
            for (String line : Files.readAllLines(Path.of("../DEVELOPERS.md"))) {
                Matcher found = row.matcher(line);
                if (found.matches()) rooms.put(found.group(1), name.matcher(found.group(2)).results().map(r -> r.group(1)).collect(Collectors.toSet()));
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        return rooms;
    }

    private static ArchRule arrows() {
        LayeredArchitecture arrows = layeredArchitecture().consideringOnlyDependenciesInLayers();
        for (String room : ROOMS.keySet()) arrows = arrows.layer(room).definedBy(packages(room));
        for (Map.Entry<String, Set<String>> room : ROOMS.entrySet()) {
            LayeredArchitecture.LayerDependencySpecification layer = arrows.whereLayer(room.getKey());
            if (room.getKey().equals("cli")) arrows = layer.mayNotBeAccessedByAnyLayer();
            else arrows = room.getValue().isEmpty() ? layer.mayNotAccessAnyLayer() : layer.mayOnlyAccessLayers(room.getValue().toArray(String[]::new));
        }
        return arrows;
    }

    private static String packages(String room) {
        return "linnet." + room.replace('/', '.') + (ROOM_IN_A_ROOM.equals(room) ? "" : "..");
    }

    @ArchTest
    static final ArchRule NO_CYCLES = slices().matching("linnet.(*)..").should().beFreeOfCycles();

    @ArchTest
    static final ArchRule DSP_KNOWS_NO_LIBRARY_BUT_MATHS = noClasses().that().resideInAPackage("linnet.dsp..").should().dependOnClassesThat()
            .resideOutsideOfPackages("linnet.dsp..", "java.lang..", "java.util..", "org.apache.commons.math3..", "org.jtransforms..", "pl.edu.icm..");

    /** One way to say that every Java has it. */
    @ArchTest
    static final ArchRule ONE_CLASS_OPENS_DIGESTS = noClasses().that().doNotHaveFullyQualifiedName("linnet.digest.Sha256")
            .should().callMethod(java.security.MessageDigest.class, "getInstance", String.class);

    @ArchTest
    static final ArchRule ONE_CLASS_SEES_THE_FOURIER_LIBRARY = noClasses().that().doNotHaveFullyQualifiedName("linnet.dsp.spectral.Fft")
            .should().dependOnClassesThat().resideInAnyPackage("org.jtransforms..", "pl.edu.icm..");

    @ArchTest
    static final ArchRule ONE_ROOM_SEES_YAML = noClasses().that().resideOutsideOfPackage("linnet.yaml..").should().dependOnClassesThat()
            .resideInAPackage("org.yaml..");

    @ArchTest
    static final ArchRule ONLY_CLI_SEES_THE_COMMAND_LINE =
            noClasses().that().resideOutsideOfPackage("linnet.cli..").should().dependOnClassesThat().resideInAnyPackage("picocli..", "me.tongfei..");

    @ArchTest
    static final ArchRule ONLY_CLI_PRINTS_OR_EXITS = noClasses().that().resideOutsideOfPackage("linnet.cli..")
            .should().accessField(System.class, "out").orShould().accessField(System.class, "err").orShould().callMethod(System.class, "exit", int.class);

    /** Its {@code SideBySide} is asked by others, who see of it neither thread nor future. */
    @ArchTest
    static final ArchRule ONLY_RENDER_BEGINS_THREADS = noClasses().that().resideOutsideOfPackage("linnet.render..")
            .should().dependOnClassesThat().areAssignableTo(java.util.concurrent.Executor.class).orShould().dependOnClassesThat().areAssignableTo(Thread.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.util.concurrent.Future.class).orShould().dependOnClassesThat()
                    .areAssignableTo(java.util.concurrent.CompletionService.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.util.Timer.class)
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasName.Predicates.nameMatching("parallel.*")).and(JavaCall.Predicates.target(
                    HasOwner.Predicates.With.owner(JavaClass.Predicates.resideInAPackage("java.util..")))));

    @ArchTest
    static final ArchRule IN_DSP_ONLY_SOUNDS_ARE_FOR_SEVERAL_THREADS = noClasses().that().resideInAPackage("linnet.dsp..")
            .and(DescribedPredicate.not(JavaClass.Predicates.assignableTo(linnet.dsp.Sound.class))).should(beForSeveralThreads());

    @ArchTest
    static final ArchRule FEW_ROOMS_HAVE_WHAT_IS_FOR_SEVERAL_THREADS = noClasses()
            .that().resideOutsideOfPackages("linnet.dsp..", "linnet.render..", "linnet.audio..", "linnet.store..", "linnet.files..", "linnet.weigh..",
                    "linnet.deliver..", "linnet.cli..")
                    .should(beForSeveralThreads());

    /** The rules above see which methods are synchronized; blocks inside of one do not show in a class. */
    @ArchTest
    static void noBlockIsSynchronized(JavaClasses ignored) throws IOException {
        try (Stream<Path> sources = Files.walk(Path.of("src/main/java"))) {
            for (Path source : sources.filter(f -> f.toString().endsWith(".java")).toList()) {
                assertFalse(Pattern.compile("synchronized\\s*\\(").matcher(Files.readString(source)).find(), source.toString());
            }
        }
    }

    private static ArchCondition<JavaClass> beForSeveralThreads() {
        // What is done, a length of time and a name of chance have nothing to do with who does it.
        DescribedPredicate<JavaClass> shared = JavaClass.Predicates.resideInAPackage("java.util.concurrent..")
                .and(DescribedPredicate.not(JavaClass.Predicates.belongToAnyOf(java.util.concurrent.Callable.class, java.util.concurrent.TimeUnit.class,
                        java.util.concurrent.ThreadLocalRandom.class)))
                .or(JavaClass.Predicates.assignableTo(ThreadLocal.class));
        return new ArchCondition<>("be for several threads") {
            @Override
            public void check(JavaClass one, ConditionEvents events) {
                one.getMethods().stream().filter(m -> m.getModifiers().contains(JavaModifier.SYNCHRONIZED))
                        .forEach(m -> tell(one, m.getFullName() + " is synchronized", events));
                one.getFields().stream().filter(f -> f.getModifiers().contains(JavaModifier.VOLATILE))
                        .forEach(f -> tell(one, f.getFullName() + " is volatile", events));
                one.getDirectDependenciesFromSelf().stream().filter(d -> shared.test(d.getTargetClass())).forEach(d -> tell(one, d.getDescription(), events));
            }

            private void tell(JavaClass one, String what, ConditionEvents events) {
                events.add(SimpleConditionEvent.satisfied(one, what));
            }
        };
    }

    /** An unfinished file has a name of chance, so that two who write into a folder never meet; nothing heard comes of it. */
    @ArchTest
    static final ArchRule NO_LOOSE_CHANCE = noClasses().that().doNotHaveFullyQualifiedName("linnet.files.Unfinished").should().callMethod(Math.class, "random")
            .orShould().dependOnClassesThat().areAssignableTo(java.util.Random.class);

    @ArchTest
    static final ArchRule NO_CLOCK_BELOW_RENDER = noClasses().that().resideInAnyPackage("linnet.dsp..", "linnet.text..", "linnet.setting..", "linnet.hear..",
            "linnet.step..",
                    "linnet.yaml..", "linnet.chain..", "linnet.list..", "linnet.plan..", "linnet.audio..", "linnet.demo..")
            .should().callMethod(System.class, "nanoTime").orShould().callMethod(System.class, "currentTimeMillis").orShould().dependOnClassesThat()
                    .resideInAPackage("java.time..");

    @ArchTest
    static final ArchRule NO_STATIC_STATE = fields().that().areStatic().and().areDeclaredInClassesThat().resideInAPackage("linnet..").should().beFinal();

    @ArchTest
    static final ArchRule STEPS_ARE_CLOSED = classes().that().areAssignableTo(Step.class).and().doNotHaveFullyQualifiedName("linnet.step.Step")
            .should().bePackagePrivate().andShould().haveModifier(JavaModifier.FINAL);

    @ArchTest
    static final ArchRule STEPS_HOLD_HANDLES_ONLY = fields().that().areDeclaredInClassesThat().areAssignableTo(Step.class).and()
            .doNotHaveModifier(JavaModifier.SYNTHETIC)
            .should().bePrivate().andShould().beFinal();

    @ArchTest
    static final ArchRule STEPS_ARE_MADE_IN_ONE_PLACE = noClasses().that().doNotHaveFullyQualifiedName("linnet.step.builtin.Builtins")
            .should().callConstructorWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.owner(JavaClass.Predicates.assignableTo(Step.class)))
                    .and(DescribedPredicate.not(JavaCall.Predicates.target(HasOwner.Predicates.With.owner(JavaClass.Predicates.type(Step.class))))));

    @ArchTest
    static final ArchRule KERNELS_HOLD_NO_COLLECTION = noFields().that().areDeclaredInClassesThat().implement(Kernel.class)
            .should().haveRawType(JavaClass.Predicates.assignableTo(Collection.class)).orShould().haveRawType(JavaClass.Predicates.assignableTo(Map.class));

    /** A virtual machine may give other last bits for the functions of {@code Math}, but not for those of {@code StrictMath}. */
    @ArchTest
    static final ArchRule SAME_BITS_ON_EVERY_MACHINE = noClasses().that().resideOutsideOfPackages("linnet.cli..", "linnet.report..")
            .should().callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(JavaClass.Predicates.type(Math.class)))
                    .and(JavaCall.Predicates.target(HasName.Predicates.nameMatching(
                            "sin|cos|tan|asin|acos|atan|atan2|sinh|cosh|tanh|exp|expm1|log|log10|log1p|pow|cbrt|hypot"))));

    @ArchTest
    static final ArchRule A_PLAN_IS_RECORDS = classes().that().resideInAPackage("linnet.plan").and().areTopLevelClasses().and()
            .haveSimpleNameNotEndingWith("Planner")
            .and().doNotHaveSimpleName("package-info").should().beRecords().orShould().beInterfaces();

    @ArchTest
    static final ArchRule FILES_ARE_OPENED_IN_FEW_ROOMS = noClasses().that().resideOutsideOfPackages("linnet.audio..", "linnet.yaml..", "linnet.chain..",
            "linnet.list..", "linnet.render..", "linnet.store..", "linnet.files..", "linnet.deliver..", "linnet.cli..",
            "linnet.demo..")
            .should().dependOnClassesThat().areAssignableTo(java.nio.file.Files.class).orShould().dependOnClassesThat()
                    .areAssignableTo(java.nio.channels.FileChannel.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.io.File.class);

    /** What was rendered here stays here, and nothing is fetched. {@code URI} names a place and opens nothing. */
    @ArchTest
    static final ArchRule NO_NETWORK = noClasses().should()
            .dependOnClassesThat(JavaClass.Predicates.resideInAnyPackage("java.net..", "javax.net..", "java.rmi..", "javax.naming..", "com.sun.net..",
                    "javax.management.remote..", "java.sql..")
                    .and(DescribedPredicate.not(JavaClass.Predicates.belongToAnyOf(java.net.URI.class, java.net.URISyntaxException.class, java.net.URL.class))))
            .orShould().dependOnClassesThat().areAssignableTo(java.nio.channels.NetworkChannel.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.nio.channels.AsynchronousChannel.class)
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(JavaClass.Predicates.type(java.net.URL.class)))
                    .and(JavaCall.Predicates.target(HasName.Predicates.nameMatching("open.*|getContent"))))
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasOwner.Predicates.With.<JavaClass>owner(JavaClass.Predicates.type(java.net.URI.class)))
                    .and(JavaCall.Predicates.target(HasName.Predicates.nameMatching("toURL"))));

    /** A text is data: no other program is run, no class is looked for by a name that was read, no object comes out of bytes. */
    @ArchTest
    static final ArchRule NO_CODE_FROM_A_TEXT = noClasses().should().dependOnClassesThat().areAssignableTo(ProcessBuilder.class)
            .orShould().dependOnClassesThat().areAssignableTo(ClassLoader.class)
            .orShould().dependOnClassesThat().areAssignableTo(java.io.ObjectInputStream.class)
            .orShould().dependOnClassesThat().resideInAnyPackage("javax.script..", "javax.tools..", "java.beans..", "java.lang.reflect..",
                    "org.yaml.snakeyaml.constructor..")
            .orShould().callMethodWhere(JavaCall.Predicates.target(HasName.Predicates.nameMatching("forName|exec|loadLibrary|load"))
                    .and(JavaCall.Predicates.target(
                    HasOwner.Predicates.With.owner(JavaClass.Predicates.type(Class.class).or(JavaClass.Predicates.type(Runtime.class))
                            .or(JavaClass.Predicates.type(System.class))))));

    @ArchTest
    static final ArchRule EXCEPTIONS_HAVE_NAMES = GeneralCodingRules.NO_CLASSES_SHOULD_THROW_GENERIC_EXCEPTIONS;

    @ArchTest
    static final ArchRule NO_DRAWERS = noClasses().should().haveSimpleNameEndingWith("Util").orShould().haveSimpleNameEndingWith("Utils")
            .orShould().haveSimpleNameEndingWith("Helper").orShould().haveSimpleNameEndingWith("Manager");
}
