/** Short, common words that sound unlike each other; in alphabetical order, each once. Never changed: two builds must agree. */
export const WORDS: readonly string[] = `
acorn actor agate alder alley almond amber anchor angle ankle anthem apple apron arch arena arrow ash
aspen atlas attic autumn avenue badge bagel baker bamboo banjo banner barber barley barn barrel basil
basin basket bath beach beacon beak beam bean beaver beech bell belt bench berry birch bird biscuit
bishop bison blanket blaze bloom blossom blue board boat bobbin bonnet book boot border bottle boulder
bowl box braid branch brass bread breeze brick bridge broom brother brown brush bucket buckle bugle bull
bunny bureau bush butter button cabin cable cactus camel camera camp canal candle candy canoe canvas cape
captain caravan card cargo carpet carrot cart castle cattle cave cedar cellar cement cereal chain chair
chalk chapel cheese cherry chess chest chicken chimney chin church cider cinema circle circus city clam
clay cliff clock cloth cloud clover coach coast cobalt cobra cocoa coffee coin collar colony comb comet
compass copper coral cork corn corner cottage cotton couch council cousin cover cow coyote crab cradle
crane crater crayon cream creek cricket crown crystal cube cuckoo cup curtain cushion cycle dairy daisy
dance dawn delta denim desert desk diamond dinner dish doctor dog dolphin donkey door dove dragon drawer
dress drum duck dune dust eagle earth easel echo edge eel elbow elder elephant elm ember emerald engine
estate evening fable falcon family fan farm farmer father feather fence fern ferry festival field fig
finch finger fire fish flag flame flannel flask flax fleet flint flock floor flute fog folder forest fork
fossil fountain fox frame freckle frog frost fruit fudge funnel gallery garage garden garlic garnet gate
gazelle gecko giant giraffe glacier glass globe glove goat goblet gold goose grain granite grape grass
gravel gravy green griddle grocer grove guitar gull guppy hall hammer hammock hamster hand harp harvest
hat hatch hawk hazel heart hedge helmet herb hermit heron hill hinge hippo hobby holly honey hood hoof
hook horizon horn hornet horse hotel house hunter husky icicle igloo index ink insect iris iron island
ivory ivy jacket jade jaguar jam jar jasmine jelly jersey jetty jewel jigsaw jockey journal judge juice
jungle juniper jury kangaroo kayak kennel kernel kettle key kiln king kitchen kite kitten kiwi koala lace
ladder ladle lady lagoon lake lamb lamp lantern larch lark lasso laundry lava lawn lawyer leaf leather
lemon lens leopard lettuce lever library lichen lilac lily lime linen lion lizard llama lobby lobster
locket log lotus lumber lunch lynx lyric magnet magpie mailbox manor mantle map maple marble market
marmot marsh mask mast match meadow medal melon mermaid meteor midnight mill mineral mint mirror mitten
mole monkey monsoon moon moose morning mosaic moss moth mother motor mountain mouse mouth mud muffin mug
mule museum mushroom music mustard napkin nectar needle nephew nest net nettle niece night noodle north
nose notebook novel nugget nurse nutmeg oak oasis oats ocean octopus office olive onion onyx opal opera
orange orbit orchard orchid organ oriole osprey ostrich otter oven owl oyster paddle page paint palace
palm panda panel panther paper parade parcel park parrot parsley pasta pasture path patio pavement peach
peanut pearl pebble pelican pen pencil penguin pepper perch petal phone piano pickle picnic pie pig
pigeon pilgrim pillow pine pink pipe pirate pitcher pizza planet plank plant plaster plate plaza plum
pocket poem poet pollen pond pony poplar poppy porch porridge portal potato pottery powder prairie prince
prism pudding puffin pulley pumpkin puppet puppy purple purse puzzle python quail quarry quartz queen
quill quilt quiver rabbit raccoon radio radish raft rail rain raisin ranch raven razor recipe reed reef
ribbon rice riddle ridge ring river road robin robot rock rocket roof room rooster rope rose ruby rudder
rug ruler runner rust saddle sage sail salad salmon salt sand sandal sapphire sardine satin saucer
sausage scarf scarlet school scooter scout screw seal season seed shadow shark shed sheep shelf shell
shepherd sheriff ship shirt shoe shop shore shoulder shovel shower shrimp shrub shutter sign silk silver
singer sister skate sketch skillet skirt skunk sky slate sled sleeve slipper slope sloth smoke snail
snake snow soap socket sofa soil song soup south spade spark sparrow spice spider spinach spiral sponge
spoon spring spruce square squid squirrel stable stadium stage stair stamp star station statue steam
steel steeple stem step stone stool stork storm story stove straw stream street string sugar suit summer
summit sun sunset swallow swamp swan swing syrup table tablet tadpole tailor talon tango tank tapestry
target tart tavern taxi teacher teapot temple tent termite thimble thistle thorn thread throne thumb
thunder ticket tiger timber tin toast toffee token tomato tongue tooth topaz torch tornado tortoise
toucan towel tower town toy tractor trail train trapeze tray treasure tree triangle trolley trophy trout
truck trumpet trunk tuba tulip tuna tundra tunnel turban turkey turnip turtle tuxedo twig twin typist
umbrella uncle unicorn uniform urn valley vanilla vase vault velvet vessel viking village vine vinegar
violet violin viper volcano vulture waffle wagon waist waiter wallet walnut walrus wardrobe wasp watch
water wave wax weasel weather web wedding west wheat wheel whisker whistle willow wind window winter
wizard wolf wombat wood wool worker worm wren wrist writer yacht yak yard yarn yeast yellow yogurt yolk
zebra zenith zephyr zigzag zinc zipper zone zoo
`
	.trim()
	.split(/\s+/);
